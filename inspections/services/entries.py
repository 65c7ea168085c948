"""What a tablet sends: each entry judged again, kept once, and answered for by name."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inspections.evidence_rows import TABLET_ENTRY
from inspections.models import TabletEntry
from inspections.services.entry_receipts import Delivery
from inspections.services.intake import intake_open
from inspections.services.sent_entries import EntryResult, Sender, SentEntry
from jobs.models import Job, User
from jobs.services.evidence import evidence_append_all, row_entry


@transaction.atomic
def entries_take(
    *,
    job: Job,
    by: User,
    sent: Sequence[SentEntry],
    sender: Sender,
    now: datetime,
    brought_in_by: User | None = None,
) -> list[EntryResult]:
    """Take a batch of entries of one job; return what became of each, in order.

    All of it is kept or nothing. An entry that is kept already gets the answer it got the first time. One
    that came too late for the record is kept beside it for the inspector; one that its person can correct
    is refused with a sentence and not kept.
    """
    delivery = Delivery(job=job, by=by, sender=sender, now=now, brought_in_by=brought_in_by)
    intake = intake_open(delivery=delivery, sent=sent)
    results = [intake.take(one) for one in sent]
    log = intake.desk.rows_write() if intake.desk is not None else []
    TabletEntry.objects.bulk_create(intake.receipts)
    log += [row_entry(TABLET_ENTRY, one) for one in intake.receipts]
    evidence_append_all(job=job, entries=log)
    if intake.desk is not None:
        intake.desk.defects_settle()
    return results
