"""What came too late for the record, read as well as it can be for whoever looks at it."""

from __future__ import annotations

from inspections.errors import InspectionsError
from inspections.models import Answer, EntryKind, EntryOutcome, Photo
from inspections.queries import wording
from inspections.queries.late_entries import KEPT
from inspections.services.desk import Desk
from inspections.services.entry_kinds import ink_of
from inspections.services.entry_receipts import Delivery, Taken
from inspections.services.reading import answer_read
from inspections.services.sent_entries import SentEntry
from inspections.services.signatures import signature_read
from jobs.errors import JobsError
from jobs.models import Job

#: What nobody on the tablet can correct. Code of the rule that refused it, code it is kept under.
TOO_LATE = {
    "stage_signed": "stage_signed",
    "item_not_asked": "item_not_asked",
    "job_not_on_site": "job_not_on_site",
    "job_not_open": "job_not_on_site",
    "already_closed": "job_not_on_site",
}


def late_take(
    *, delivery: Delivery, job: Job, desk: Desk | None, sent: SentEntry, photo: Photo | None, code: str
) -> Taken:
    """Return an entry kept beside the record; refuse a signature or a defect that says nothing."""
    if sent.kind in {EntryKind.SIGNATURE, EntryKind.SIGN_OFF}:
        signature_read(by=delivery.by, ink=ink_of(sent), now=delivery.now)
    if sent.kind == EntryKind.DEFECT and not sent.text.strip():
        raise InspectionsError("description_missing", "Write what is wrong and where.")
    verdict, said, margin = _judged(desk, sent, photo)
    return Taken(
        outcome=EntryOutcome.LATE,
        code=TOO_LATE[code],
        sentence=_why(job, desk, sent, TOO_LATE[code]) + KEPT,
        verdict=verdict,
        said=said,
        margin=margin,
        photo=photo,
    )


def _why(job: Job, desk: Desk | None, sent: SentEntry, code: str) -> str:
    if desk is not None and code != "job_not_on_site":
        stage = desk.stage(sent.stage)
        item = desk.item_known(stage, sent.item)
        if code == "stage_signed":
            return f"“{desk.title(stage)}” had been signed before this arrived."
        if item is not None:
            return f"“{item.ask}” is no longer asked on this job as it stands."
    return f"{job.number} is {job.get_status_display().lower()}: this came too late for its record."


def _judged(desk: Desk | None, sent: SentEntry, photo: Photo | None) -> tuple[str, str, str]:
    """Verdict, words and margin of a late answer, as far as it can be read."""
    if desk is None or sent.kind not in {EntryKind.ANSWER, EntryKind.PHOTO}:
        return "", "", ""
    try:
        item = desk.item_known(desk.stage(sent.stage), sent.item)
        if item is None:
            return "", "", ""
        limit = desk.rows.limits.get(item.limit) if item.limit else None
        system = desk.rows.system
        reading = answer_read(item=item, raw_text=sent.text, photo=photo, limit=limit, system=system)
    except JobsError:
        # Kept as it was typed.
        return "", "", ""
    answer = Answer(
        kind=item.kind,
        raw_text=reading.raw_text,
        value=reading.value,
        limit=reading.limit.to_dict() if reading.limit else None,
        outcome=reading.outcome,
        margin=reading.margin,
        photo=photo,
    )
    said, margin = wording.answer_words(item, answer, system), wording.margin_words(item, answer, system)
    return reading.outcome, said, margin
