"""What a stranger may know of a certificate: whether it counts, and nothing about people or places."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from inspections.models import Certificate, CertificateWithdrawal
from jobs.models import DocumentKind


class Standing(StrEnum):
    """Whether a certificate counts."""

    GENUINE = "genuine"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True)
class PublicView:
    """A certificate as a stranger sees it."""

    code: str
    serial: str
    standing: Standing
    #: Of the certificate, on the clock of the house.
    issued_on: date
    #: Certificate | Inspection report.
    paper: str
    #: Whether it tells what was found rather than that work was finished.
    is_report: bool
    #: Such as "New installation".
    work: str
    withdrawn_on: date | None
    #: Serial of the last one that took its place, and whether that one counts.
    replaced_by: str
    replacement_counts: bool
    #: Empty while the file is still being made.
    sha256: str
    stamped_at: datetime | None


def certificate_by_key(number: int, key: str) -> Certificate | None:
    """Return the certificate of a code; None when there is none of that number and key."""
    return _certificates().filter(number=number, verify_key=key).first()


def certificate_by_file(content: bytes) -> Certificate | None:
    """Return the certificate whose file this is, byte for byte."""
    sha256 = hashlib.sha256(content).hexdigest()
    return _certificates().filter(document__sha256=sha256, document__done_at__isnull=False).first()


def public_view(certificate: Certificate) -> PublicView:
    """Return what the verification page shows."""
    job = certificate.sign_off.record.job
    zone = ZoneInfo(job.installation.site.time_zone)
    withdrawal: CertificateWithdrawal | None = getattr(certificate, "withdrawal", None)
    newest = _newest(certificate)
    standing = Standing.GENUINE
    if newest is not None:
        standing = Standing.SUPERSEDED
    elif withdrawal is not None:
        standing = Standing.WITHDRAWN
    return PublicView(
        code=certificate.verify_code,
        serial=certificate.serial,
        standing=standing,
        issued_on=certificate.issued_at.astimezone(zone).date(),
        paper=certificate.paper,
        is_report=certificate.document.kind == DocumentKind.REPORT,
        work=job.get_kind_display(),
        withdrawn_on=withdrawal.at.astimezone(zone).date() if withdrawal else None,
        replaced_by=newest.serial if newest else "",
        replacement_counts=newest is not None and getattr(newest, "withdrawal", None) is None,
        sha256=certificate.document.sha256,
        stamped_at=certificate.document.stamped_at,
    )


def _certificates() -> QuerySet[Certificate]:
    return Certificate.objects.select_related(
        "document__job__installation__site", "withdrawal", "sign_off__record__job__installation__site"
    )


def _newest(certificate: Certificate) -> Certificate | None:
    """The last of those that took each other's place; None when none did."""
    found = None
    while newer := Certificate.objects.filter(supersedes=found or certificate).first():
        found = newer
    return found
