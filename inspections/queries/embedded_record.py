"""The record inside a certificate's file, read back."""

from __future__ import annotations

import io
import json
from typing import Any

from inspections.errors import InspectionsError
from inspections.queries.certificate_record import FILE_NAME, NAME
from jobs.queries.paper_parts import Json

#: Versions this program reads.
READS = (1, 2)
#: More than any record has; what is packed small may unpack to anything.
_MOST_BYTES = 64 * 1024 * 1024


def record_in_pdf(content: bytes) -> Json:
    """Return the record a certificate's PDF carries; refuse a file that carries none."""
    # Long to load, and of no use to the pages.
    from pyhanko.pdf_utils.misc import PdfError  # noqa: PLC0415
    from pyhanko.pdf_utils.reader import PdfFileReader  # noqa: PLC0415

    try:
        reader = PdfFileReader(io.BytesIO(content))
        found = _embedded(reader.root)
    except (PdfError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
        raise InspectionsError(
            "not_a_pdf", "It cannot be read as a PDF: it is damaged, or it is something else."
        ) from error
    if found is None:
        raise InspectionsError("no_record", f"It carries no {FILE_NAME}, and every certificate does.")
    return _record(found)


def _embedded(root: Any) -> bytes | None:
    """Return the bytes of the associated file of the record's name (ISO 19005-3, 6.8)."""
    for spec in root.get("/AF", ()):
        told = spec.get_object()
        if str(told.get("/UF", told.get("/F"))) == FILE_NAME:
            data: bytes = told["/EF"]["/F"].data
            return data
    return None


def _record(found: bytes) -> Json:
    broken = InspectionsError("record_broken", f"Its {FILE_NAME} is not the record of a certificate.")
    if len(found) > _MOST_BYTES:
        raise broken
    try:
        record = json.loads(found)
    except (ValueError, RecursionError) as error:
        raise broken from error
    if not isinstance(record, dict) or record.get("record") != NAME:
        raise broken
    if record.get("version") not in READS:
        raise InspectionsError(
            "record_version",
            f"Its record is of version {record.get('version')}; this program reads"
            f" {READS[0]} to {READS[-1]}.",
        )
    return record
