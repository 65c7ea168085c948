"""What a certificate prints so that anybody can ask whether it counts: code, address and QR code."""

from __future__ import annotations

import base64
import io

import segno
from django.urls import reverse

from inspections.verify_codes import verify_code
from jobs.links import whole_link
from jobs.queries.paper_parts import Json


def verify_part(serial: str, key: str) -> Json:
    """Return code, address and QR code (ISO/IEC 18004, a quarter of it may be lost) of a certificate."""
    code = verify_code(serial, key)
    address = whole_link(reverse("verify_certificate", args=[code]))
    out = io.BytesIO()
    segno.make_qr(address, error="q").save(
        out, kind="svg", border=2, xmldecl=False, svgclass=None, lineclass=None, omitsize=True, dark="#14213d"
    )
    return {
        "code": code,
        "address": address,
        "page": whole_link(reverse("verify")),
        "qr": f"data:image/svg+xml;base64,{base64.b64encode(out.getvalue()).decode()}",
    }
