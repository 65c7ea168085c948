"""Groups of items that several checklists share: files in groups/, each used by its name with its version.

A checklist that uses one is pinned by the bytes of both: a group is never changed, a new version is a new
file.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "groups"
_NAME = re.compile(r"[a-z][a-z0-9_]*\.[1-9][0-9]*")
_GROUP = frozenset({"part", "items"})


class GroupError(ValueError):
    """A group is missing or wrong; the sentence says which and what is wrong."""


def group_read(name: str) -> bytes:
    """Return the bytes of a group that comes with the program."""
    path = FOLDER / f"{name}.toml"
    if not path.is_file():
        raise GroupError(f"there is no group {name!r} in the folder groups")
    return path.read_bytes()


class Groups:
    """The groups one checklist uses, in the order it uses them."""

    def __init__(self, read: Callable[[str], bytes]) -> None:
        self._read = read
        self._used: dict[str, bytes] = {}

    def spread(self, entry: dict[str, Any]) -> list[dict[str, Any]]:
        """Return an entry as it is, or the items of the group it stands for."""
        if "use" not in entry:
            return [entry]
        name = entry["use"]
        if set(entry) != {"use"}:
            raise GroupError(f"an entry that uses a group says nothing else: {sorted(entry)}")
        if not isinstance(name, str) or not _NAME.fullmatch(name):
            raise GroupError(f"name a group with its version, such as connector.1, not {name!r}")
        if name in self._used:
            raise GroupError(f"the group {name!r} is used twice")
        self._used[name] = content = self._read(name)
        return _items(name, content)

    def digest(self, content: bytes) -> str:
        """Return the SHA-256 of a checklist's bytes, and of those of every group it uses."""
        digest = hashlib.sha256(content)
        for name, used in self._used.items():
            digest.update(f"\n{name} {hashlib.sha256(used).hexdigest()}".encode())
        return digest.hexdigest()


def _items(name: str, content: bytes) -> list[dict[str, Any]]:
    try:
        data = tomllib.loads(content.decode())
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise GroupError(f"group {name}: not readable: {error}") from error
    if extra := sorted(set(data) - _GROUP):
        raise GroupError(f"group {name}: unknown field {', '.join(extra)}")
    items = data.get("items")
    if not isinstance(items, list) or not items:
        raise GroupError(f"group {name}: items is missing, empty or not a list")
    if any("use" in item for item in items):
        raise GroupError(f"group {name}: a group uses no other group")
    part = {"part": data["part"]} if "part" in data else {}
    return [{**part, **item} for item in items]
