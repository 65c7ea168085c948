"""The ZIP of an export: rows, files and an index, as a stream. The same rows give the same bytes."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import IO

from django.template.loader import render_to_string

from inspections.queries.customer_everything import Json, everything_of, index_context
from inspections.queries.customer_files import KeptFile, files_of
from jobs.models import Customer

#: Pictures and papers are packed already.
_PACKED = (".pdf", ".jpg", ".png", ".heic", ".webp")


@dataclass(frozen=True)
class Written:
    """What an archive turned out to be."""

    sha256: str
    size: int


class _Hashing:
    """Passes on what is written, and takes its checksum and its length on the way."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file = file
        self.sha256 = hashlib.sha256()
        self.size = 0

    def write(self, piece: bytes) -> int:
        """Write on."""
        self.sha256.update(piece)
        self.size += len(piece)
        return self.file.write(piece)

    def flush(self) -> None:
        """Write out what waits."""
        self.file.flush()


def archive_write(*, file: IO[bytes], customer: Customer, now: datetime) -> Written:
    """Write everything about a customer into a file. A file that is missing or altered is named instead."""
    # The schemas are made of everything that has one, this archive's callers among it.
    from inspections.schemas import EXPORT_SCHEMA, schemas_written  # noqa: PLC0415

    out = _Hashing(file)
    files = files_of(customer)
    with zipfile.ZipFile(out, "w") as archive:  # type: ignore[call-overload]
        sizes, missing = _put_files(archive, files, now)
        told = everything_of(customer, files=files, sizes=sizes, missing=missing, now=now)
        context = index_context(told, files, now)
        _put_text(archive, "index.html", render_to_string("privacy/export_index.html", context), now)
        _put_text(archive, "customer.json", json.dumps(told, ensure_ascii=False, indent=1), now)
        _put_text(archive, EXPORT_SCHEMA, schemas_written()[EXPORT_SCHEMA], now)
    return Written(out.sha256.hexdigest(), out.size)


def _put_files(
    archive: zipfile.ZipFile, files: Sequence[KeptFile], now: datetime
) -> tuple[dict[str, int], list[Json]]:
    sizes: dict[str, int] = {}
    missing: list[Json] = []
    for file in files:
        if file.path in sizes:
            continue
        if why := file.wanting():
            missing.append({"is": file.words, "why": why})
            continue
        sizes[file.path] = _put(archive, file.path, file.pieces(), now)
    return sizes, missing


def _put_text(archive: zipfile.ZipFile, path: str, text: str, now: datetime) -> None:
    _put(archive, path, [text.encode()], now)


def _put(archive: zipfile.ZipFile, path: str, pieces: Iterable[bytes], now: datetime) -> int:
    entry = zipfile.ZipInfo(path, now.astimezone(UTC).timetuple()[:6])
    entry.external_attr = 0o600 << 16
    entry.compress_type = zipfile.ZIP_STORED if path.endswith(_PACKED) else zipfile.ZIP_DEFLATED
    size = 0
    with archive.open(entry, "w", force_zip64=True) as member:
        for piece in pieces:
            member.write(piece)
            size += len(piece)
    return size
