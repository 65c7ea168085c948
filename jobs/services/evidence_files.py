"""Whether the files of photos and papers are those whose hashes were logged."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from django.core.files.storage import default_storage
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader

from jobs.models import NUMBERED

if TYPE_CHECKING:
    from jobs.evidence_rows import RowKind
    from jobs.services.evidence_checks import Figures

RECORD_NAME = "certificate-record.json"
_CHUNK = 1024 * 1024
Broken = Callable[[str, str], None]


class FileCheck:
    """Reads files piece by piece and hashes them."""

    def __init__(self, figures: Figures) -> None:
        self.figures = figures

    def look(
        self,
        rows: Mapping[str, tuple[RowKind, Any]],
        hashes: Mapping[str, int],
        broken: Broken,
        *,
        erased: bool = False,
    ) -> None:
        """Look at the files of one job's photos and papers; an erased customer's are gone on purpose."""
        for subject, (kind, row) in rows.items():
            if erased and not (row.original if kind.noun == "photo" else getattr(row, "file", True)):
                continue
            if kind.noun == "photo":
                self._hashed(subject, row.original.name, row.sha256, broken)
            elif kind.noun == "document" and row.done_at is not None:
                whole = self._hashed(subject, row.file.name, row.sha256, broken)
                if whole and row.kind in NUMBERED:
                    _head(subject, row, hashes, broken)

    def _hashed(self, subject: str, name: str, sha256: str, broken: Broken) -> bool:
        told = hashlib.sha256()
        try:
            with default_storage.open(name) as file:
                while chunk := file.read(_CHUNK):
                    told.update(chunk)
                    self.figures.bytes += len(chunk)
        except FileNotFoundError:
            broken(subject, f"its file {name} is missing")
            return False
        self.figures.files += 1
        if told.hexdigest() != sha256:
            broken(subject, f"its file {name} is not the one that was kept: SHA-256 {told.hexdigest()}")
            return False
        return True


def _head(subject: str, document: Any, hashes: Mapping[str, int], broken: Broken) -> None:
    """The head that a sealed certificate bears must be a link of the chain."""
    with default_storage.open(document.file.name) as file:
        head = head_embedded(file.read())
    if head is None and document.context.get("chain_head"):
        broken(subject, "the sealed file bears no head of the chain, and one was printed on it")
    elif head is not None and head not in hashes:
        broken(subject, f"the head that the sealed certificate bears, {head}, is not in the chain")


def head_embedded(content: bytes) -> str | None:
    """Return the head of the chain in a sealed certificate's record; None where it bears none."""
    try:
        names = PdfFileReader(io.BytesIO(content)).root["/Names"]["/EmbeddedFiles"]["/Names"]
        for at in range(0, len(names), 2):
            if str(names[at]) == RECORD_NAME:
                record = json.loads(names[at + 1]["/EF"]["/F"].data)
                return str(record["evidence"]["chain_head"])
    except (PdfError, LookupError, TypeError, ValueError):
        return None
    return None
