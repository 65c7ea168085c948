"""Reads the seals of a PDF that a stranger sent, in a process of its own with little time and memory.

`python -m jobs.seal_reader` takes the file on standard input and prints JSON. What reads a hostile file may
be driven into endless loops or boundless memory; here that ends the child and nobody else. It imports no
Django, reads no settings, and opens no file and no connection.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import json
import logging
import resource
import sys
from typing import Any

SECONDS = 10
MEMORY = 1024**3
#: More signatures than anybody puts on a certificate.
MOST_SEALS = 8
#: What reading a damaged file may end in.
BROKEN = (
    ArithmeticError,
    AttributeError,
    LookupError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
)


def main() -> None:
    """Read, judge, print."""
    _limit()
    print(json.dumps(seals_read(sys.stdin.buffer.read())))  # noqa: T201


def seals_read(content: bytes) -> dict[str, Any]:
    """Return every signature of a PDF: whose, whether it holds, and whether it covers the whole file."""
    from pyhanko.pdf_utils.misc import PdfError  # noqa: PLC0415
    from pyhanko.pdf_utils.reader import PdfFileReader  # noqa: PLC0415

    logging.disable()
    try:
        reader = PdfFileReader(io.BytesIO(content))
        if reader.encrypted:
            return {"refused": "encrypted"}
        return {"seals": [_seal(one) for one in reader.embedded_regular_signatures[:MOST_SEALS]]}
    except MemoryError:
        return {"refused": "too much"}
    except (PdfError, *BROKEN):
        return {"refused": "not readable"}


def _seal(found: Any) -> dict[str, Any]:
    from pyhanko.sign.validation.errors import SignatureValidationError  # noqa: PLC0415
    from pyhanko.sign.validation.generic_cms import validate_sig_integrity  # noqa: PLC0415
    from pyhanko.sign.validation.status import SignatureCoverageLevel  # noqa: PLC0415

    certificate = found.signer_cert
    told = {"fingerprint": hashlib.sha256(certificate.dump()).hexdigest()}
    try:
        intact, valid = validate_sig_integrity(found.signer_info, certificate, "data", found.compute_digest())
    except SignatureValidationError:
        intact = valid = False
    _, first, second, _ = found.byte_range
    # Between the two parts lies the signature itself and nothing else.
    gap_is_signature = second == first + 2 * len(found.pkcs7_content) + 2
    whole = found.evaluate_signature_coverage() == SignatureCoverageLevel.ENTIRE_FILE and gap_is_signature
    return {**told, "intact": bool(intact), "valid": bool(valid), "whole": whole, "stamp": _stamp(found)}


def _stamp(found: Any) -> dict[str, Any] | None:
    from pyhanko.sign.validation.generic_cms import (  # noqa: PLC0415
        extract_tst_data_iter,
        message_imprint_checker,
        validate_tst_signed_data,
    )
    from pyhanko_certvalidator import ValidationContext  # noqa: PLC0415

    for signed in extract_tst_data_iter(found.signer_info, signed=False):
        told = asyncio.run(
            validate_tst_signed_data(
                signed, ValidationContext(allow_fetching=False), message_imprint_checker(found.signer_info)
            )
        )
        return {"at": told["timestamp"].isoformat(), "holds": bool(told["intact"] and told["valid"])}
    return None


def _limit() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_FSIZE, (2**16, 2**16))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


if __name__ == "__main__":
    main()
