"""The commands that docs/tablet.md tells people to type, run as they stand there."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from django.conf import settings

PAGE = Path(settings.BASE_DIR) / "docs" / "tablet.md"
#: The host name that stands in the documents.
INVENTED = "stoves.your-shop.example"


def commands_with(word: str) -> str:
    """Return the one block of commands that holds a word."""
    blocks = re.findall(r"^```sh\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    (found,) = [block for block in blocks if word in block]
    return found


def typed(commands: str, *, folder: Path, instead: dict[str, str]) -> str:
    """Type commands in a folder, with other words for some; what they printed."""
    for word, other in instead.items():
        assert word in commands, f"{word} is in none of:\n{commands}"
        commands = commands.replace(word, other)
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", commands],
        cwd=folder, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


class Certificates:
    """A shop that is its own authority, made by the documented commands."""

    def __init__(self, folder: Path, name: str) -> None:
        folder.mkdir()
        self.said = typed(commands_with("authority.key"), folder=folder, instead={INVENTED: name})
        self.made = folder / "shop-authority"
        self.installed = folder / "etc-ssl"
        # The document's own way to the place where the proxy looks for them.
        typed(
            commands_with("install -d"),
            folder=self.made,
            instead={"/etc/ssl/fluewright": str(self.installed)},
        )

    @property
    def authority(self) -> Path:
        """What is installed on a tablet."""
        return self.made / "authority.crt"
