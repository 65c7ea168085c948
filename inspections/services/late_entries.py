"""Looking at what came too late for a record."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import LATE_LOOK
from inspections.models import LateLook, SiteRecord, TabletEntry
from inspections.services.answerable import answer_for
from jobs.models import User
from jobs.services.evidence import evidence_row


@transaction.atomic
def late_entry_look(*, entry: TabletEntry, by: User, note: str, now: datetime) -> LateLook:
    """Keep that somebody answerable looked at a late entry, and what follows from it."""
    entry = TabletEntry.objects.select_for_update().get(pk=entry.pk)
    late_entry_check(entry=entry, by=by)
    note = note.strip()
    if not note:
        raise InspectionsError("note_missing", "Write what follows from it, even if it is nothing.")
    if LateLook.objects.filter(entry=entry).exists():
        raise InspectionsError("looked_at", "Somebody has looked at this entry already. Load the page again.")
    look = LateLook.objects.create(entry=entry, by=by, note=note, at=now)
    evidence_row(job=entry.job, kind=LATE_LOOK, row=look)
    return look


def late_entry_check(*, entry: TabletEntry, by: User) -> None:
    """Refuse those who may not answer for the record a late entry belongs to."""
    if not entry.is_late:
        raise InspectionsError("not_late", "This entry is in the record: there is nothing to look at.")
    record = SiteRecord.objects.filter(job=entry.job_id).select_related("job").first()
    if record is not None:
        answer_for(record=record, by=by)
    elif not by.may_sign_off:
        raise InspectionsError(
            "not_an_inspector", "Only an inspector or the owner may do that. Ask one of them."
        )
