"""Each kind of entry, laid on the desk by the rules that hold for the pages too."""

from __future__ import annotations

from collections.abc import Callable

from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.models import Answer, AnswerOutcome, Defect, EntryKind, Photo
from inspections.queries import wording
from inspections.services.answerable import answer_for_desk
from inspections.services.answers import answer_lay
from inspections.services.defects import defect_lay
from inspections.services.desk import Desk
from inspections.services.entry_receipts import Delivery, Taken, clock_time
from inspections.services.sent_entries import SentEntry
from inspections.services.signatures import Ink
from inspections.services.signoff import sign_off_check, sign_off_write
from inspections.services.stages import signature_lay
from jobs.errors import JobsError
from jobs.models import JobStatus

_TROUBLE = frozenset({AnswerOutcome.FAIL, AnswerOutcome.UNKNOWN})


class PhotoMissingError(Exception):
    """The bytes of a photo have not arrived yet."""


def ink_of(sent: SentEntry) -> Ink:
    """Return the signature of an entry."""
    told = sent.signature
    if told is None:
        raise InspectionsError("signature_missing", "The signature did not arrive. Sign again.")
    return Ink(told.strokes, told.width, told.height, told.name)


def _begin(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    if not desk.crew:
        raise InspectionsError("not_your_job", f"{desk.job.number} is not a job of your crew.")
    return Taken(code="already_begun", sentence=f"Site work of {desk.job.number} had begun already.")


def _answer(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    stage = desk.stage(sent.stage)
    before = desk.latest(sent.item)
    standing = desk.open_defect(stage, sent.item)
    raised = standing is not None and _raised_unseen(standing, desk, sent)
    unseen = raised or (before is not None and not _was_seen(before, delivery, sent))
    answer = answer_lay(
        desk=desk,
        stage=stage,
        item=sent.item,
        raw_text=sent.text,
        now=delivery.now,
        entry=sent.entry,
        photo=photo,
        device=delivery.device,
        device_time=clock_time(sent.taken_at),
        unseen=unseen,
    )
    item = desk.item_asked(stage, sent.item)
    system = desk.rows.system
    code, sentence = "", ""
    if unseen and desk.open_defect(stage, item.key) and answer.outcome not in _TROUBLE:
        code, sentence = _told_otherwise(standing if raised else None, before, item, system)
    return Taken(
        code=code,
        sentence=sentence,
        verdict=answer.outcome,
        said=wording.answer_words(item, answer, system),
        margin=wording.margin_words(item, answer, system),
        answer=answer,
        photo=photo,
    )


def _photo(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    if desk.crew and photo is None:
        raise PhotoMissingError
    return _answer(desk, delivery, sent, photo)


def _was_seen(before: Answer, delivery: Delivery, sent: SentEntry) -> bool:
    if sent.tells_what_it_saw:
        return before.entry == sent.saw
    return delivery.is_from_here(before)


def _raised_unseen(standing: Defect, desk: Desk, sent: SentEntry) -> bool:
    """Whether somebody else raised a defect by hand after the tablet last heard of the job.

    Who answers the item by which a defect is put right has seen it: without the defect there is no such item.
    """
    if (
        standing.opened_by_answer is not None
        or standing.is_raised_alone
        or standing.opened_by_id == desk.by.pk
    ):
        return False
    return sent.knew is None or standing.opened_at > sent.knew


def _told_otherwise(raised: Defect | None, before: Answer | None, item: Item, system: str) -> tuple[str, str]:
    """Return code and sentence of a passing answer that did not see what speaks against it."""
    rest = "Look at it again and enter it once more."
    if raised is not None:
        told = f"Meanwhile {raised.opened_by} had reported a defect here: {raised.description.rstrip('.')}."
        return "defect_reported", f"{told} Your answer is kept and the defect stays open. {rest}"
    if before is None:
        return "", ""
    said = wording.answer_words(item, before, system)
    told = f"Meanwhile {before.by} had answered “{said}”: {before.outcome}."
    return "answered_otherwise", f"{told} Both are kept and the defect stays open. {rest}"


def _signature(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    signature_lay(desk=desk, key=sent.stage, ink=ink_of(sent), now=delivery.now)
    return Taken()


def _defect(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    defect = defect_lay(
        desk=desk,
        stage=desk.stage(sent.stage),
        description=sent.text,
        entry=sent.entry,
        now=delivery.now,
        item=sent.item,
        severity=sent.severity,
        place=sent.place,
    )
    return Taken(defect=defect)


def _sign_off(desk: Desk, delivery: Delivery, sent: SentEntry, photo: Photo | None) -> Taken:
    job, ink = desk.job, ink_of(sent)
    answer_for_desk(desk)
    if job.status not in {JobStatus.CLOSED, JobStatus.CANCELLED} and any(
        not delivery.is_from_here(one) for one in desk.answers_after(sent.saw)
    ):
        raise InspectionsError(
            "record_changed",
            "Answers arrived that this tablet had not fetched when it was signed. Fetch the job again, look"
            " at the record and sign it off once more.",
        )
    ready = sign_off_check(desk=desk, ink=ink, now=delivery.now)
    desk.put_away()
    was = job.status, job.closed_at
    try:
        sign_off_write(desk=desk, ready=ready, ink=ink, now=delivery.now, remarks=sent.text)
    except JobsError:
        # What it wrote is rolled back; the job in hand follows.
        job.status, job.closed_at = was
        raise
    return Taken()


Laying = Callable[[Desk, Delivery, SentEntry, Photo | None], Taken]
LAYING: dict[str, Laying] = {
    EntryKind.BEGIN: _begin,
    EntryKind.ANSWER: _answer,
    EntryKind.PHOTO: _photo,
    EntryKind.SIGNATURE: _signature,
    EntryKind.DEFECT: _defect,
    EntryKind.SIGN_OFF: _sign_off,
}
