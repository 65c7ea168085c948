"""The log of what was given out: one line a time, which never stands in the way of giving it out."""

from __future__ import annotations

import logging
from datetime import datetime

from dateutil.relativedelta import relativedelta
from django.db import DatabaseError, transaction

from jobs.models import AccessKind, AccessWay, CustomerExport, Document, DocumentAccess, Shop, User

log = logging.getLogger(__name__)


def paper_access_note(*, document: Document, way: str, by: User | None, now: datetime) -> None:
    """Note that a paper was given out; its job, installation and site are to be read with it."""
    _note(
        customer_id=document.job.installation.site.customer_id,
        kind=AccessKind.PAPER,
        way=way,
        document=document,
        subject=document.title,
        sha256=document.sha256,
        by=by,
        at=now,
    )


def original_access_note(*, customer: int, subject: str, sha256: str, by: User, now: datetime) -> None:
    """Note that a photo's original was given out; `customer` is the key of whose house it shows."""
    _note(
        customer_id=customer,
        kind=AccessKind.ORIGINAL,
        way=AccessWay.PAGE,
        subject=subject,
        sha256=sha256,
        by=by,
        at=now,
    )


def export_access_note(*, export: CustomerExport, by: User, now: datetime) -> None:
    """Note that everything about a customer was given out."""
    _note(
        customer_id=export.customer_id,
        kind=AccessKind.EXPORT,
        way=AccessWay.PAGE,
        subject=f"Export {export.pk}",
        sha256=export.sha256,
        by=by,
        at=now,
    )


@transaction.atomic
def accesses_drop_old(*, now: datetime) -> int:
    """Remove the lines that are older than the shop keeps them; return how many."""
    oldest = now - relativedelta(years=Shop.current().access_log_years)
    dropped, _ = DocumentAccess.objects.filter(at__lt=oldest).delete()
    return dropped


def _note(**told: object) -> None:
    """Write one line. A paper that cannot be had because a log is full would serve nobody: that is logged."""
    try:
        with transaction.atomic():
            DocumentAccess.objects.create(**told)
    except DatabaseError:
        log.exception("It could not be noted that %s was given out", told.get("subject"))
