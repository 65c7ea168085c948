"""The list of who was erased, kept in a file beside the database: a backup of before brings them back.

Whoever puts one back has them erased again by it. A list inside the database would be as old as the backup.
It holds no name: a key, and when that customer was entered, which tells them from another with that key.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings

from jobs.models import Customer

FILE_NAME = "erasures.jsonl"


@dataclass(frozen=True)
class Erased:
    """One line of the list."""

    customer: int
    entered_at: str
    erased_at: str

    @property
    def at(self) -> datetime:
        """When it was erased."""
        return datetime.fromisoformat(self.erased_at)


def erasure_list_file() -> Path:
    """Return where the list lies."""
    return Path(settings.VAR_DIR) / FILE_NAME


def erasure_list_add(*, customer: Customer) -> None:
    """Add an erased customer to the list, once, and have it on the disk."""
    if customer.erased_at is None:
        return
    line = Erased(customer.pk, customer.created_at.isoformat(), customer.erased_at.isoformat())
    erasure_list_merge([line])


def erasure_list_merge(lines: list[Erased]) -> None:
    """Add what is not on the list yet."""
    path = erasure_list_file()
    known = {(one.customer, one.entered_at) for one in erasure_list_read(path)}
    new = [one for one in lines if (one.customer, one.entered_at) not in known]
    if not new:
        return
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        # Whole lines between line ends: one that a kill cut short takes no other with it.
        file.write("".join(f"\n{json.dumps(asdict(one))}\n" for one in new))
        file.flush()
        os.fsync(file.fileno())


def erasure_list_read(path: Path) -> Iterator[Erased]:
    """Yield the lines of a list; what is not whole was never finished and is done again by its row."""
    if not path.exists():
        return
    for line in path.read_text(encoding="utf-8").splitlines():
        try:
            yield Erased(**json.loads(line))
        except (ValueError, TypeError):
            continue
