"""Answers: one row for each entry, the latest counts, none is ever changed."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction

from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.models import Answer, AnswerOutcome, Defect, Photo, Severity, StageRecord
from inspections.services.defect_rules import rule_of
from inspections.services.defect_sentences import defect_sentence
from inspections.services.desk import SETTLING, Desk, desk_open
from inspections.services.reading import answer_read
from jobs.models import JobStatus, User


@transaction.atomic
def answer_record(
    *,
    stage: StageRecord,
    item: str,
    raw_text: str,
    by: User,
    now: datetime,
    entry: uuid.UUID | None = None,
    photo: Photo | None = None,
    device: str = "",
    device_time: datetime | None = None,
) -> Answer:
    """Keep an answer with its verdict; a failure opens a defect, a passing answer closes it.

    The same entry sent again gives the answer it made the first time.
    """
    # One lock for a record: two people who answer at once queue up, and every answer follows another.
    desk = desk_open(record=stage.record_id, by=by)
    if entry is not None and (earlier := _earlier(entry, stage, item, raw_text, photo)):
        return earlier
    answer = answer_lay(
        desk=desk,
        stage=desk.stage(stage.key),
        item=item,
        raw_text=raw_text,
        now=now,
        entry=entry or uuid.uuid4(),
        photo=photo,
        device=device,
        device_time=device_time,
    )
    desk.put_away()
    return answer


def answer_lay(
    *,
    desk: Desk,
    stage: StageRecord,
    item: str,
    raw_text: str,
    now: datetime,
    entry: uuid.UUID,
    photo: Photo | None = None,
    device: str = "",
    device_time: datetime | None = None,
    unseen: bool = False,
) -> Answer:
    """Judge an answer and lay it on the desk with what it does to defects.

    One that was given without having seen the answer before it (`unseen`) closes no defect by passing.
    """
    _check_may_answer(desk, stage)
    told = desk.item_asked(stage, item)
    if photo is not None and photo.job_id != desk.job.pk:
        raise InspectionsError("photo_of_another_job", "That photo belongs to another job.")
    reading = answer_read(
        item=told,
        raw_text=raw_text,
        photo=photo,
        limit=desk.rows.limits.get(told.limit) if told.limit else None,
        system=desk.rows.system,
    )
    answer = Answer(
        entry=entry,
        stage=stage,
        item=told.key,
        kind=told.kind,
        raw_text=reading.raw_text,
        value=reading.value,
        unit=reading.limit.unit if reading.limit and reading.value is not None else "",
        limit=reading.limit.to_dict() if reading.limit else None,
        outcome=reading.outcome,
        margin=reading.margin,
        photo=photo,
        by=desk.by,
        device=device[:120],
        device_time=device_time,
        received_at=now,
        supersedes=desk.latest(told.key),
    )
    gone = desk.lay_answer(answer)
    _settle_defects(desk, told, answer, unseen)
    # A choice that takes items away takes their defects away; choosing back asks for them afresh.
    for key in gone:
        desk.close_defects(key, answer)
    return answer


def _earlier(
    entry: uuid.UUID, stage: StageRecord, item: str, raw_text: str, photo: Photo | None
) -> Answer | None:
    earlier = Answer.objects.filter(entry=entry).first()
    if earlier is None:
        return None
    if (earlier.stage_id, earlier.item) != (stage.pk, item):
        raise InspectionsError(
            "entry_taken", "This entry was used for something else already. Load the page again and retry."
        )
    if earlier.raw_text.casefold() != raw_text.strip().casefold() or earlier.photo != photo:
        # Its acknowledgement was lost and the person has changed it since: it is another entry.
        raise InspectionsError(
            "entry_differs",
            f"“{earlier.raw_text or 'The photo'}” had arrived before. To put the new one in its place, send"
            " it once more.",
        )
    return earlier


def _check_may_answer(desk: Desk, stage: StageRecord) -> None:
    job = desk.job
    if not desk.crew:
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    if stage.is_signed:
        raise InspectionsError(
            "stage_signed",
            "This stage is signed and frozen. If something on it is wrong, report a defect: the inspector can"
            " send the stage back to you.",
        )
    if job.status != JobStatus.ON_SITE:
        raise InspectionsError(
            "job_not_on_site",
            f"{job.number} is {job.get_status_display().lower()}: nothing can be entered any more.",
        )


def _settle_defects(desk: Desk, item: Item, answer: Answer, unseen: bool) -> None:
    if (came_for := desk.carried(answer.stage, item.key)) is not None:
        _settle_carried(desk, came_for, item, answer, unseen)
    elif answer.outcome in SETTLING:
        if not unseen:
            desk.close_defects(item.key, answer)
    elif _is_defect(item, answer) and desk.open_defect(answer.stage, item.key) is None:
        desk.lay_defect(
            Defect(
                stage=answer.stage,
                item=item.key,
                description=defect_sentence(item, answer, desk.rows.system),
                severity=_severity(item, answer),
                place=desk.title(answer.stage)[:200],
                rule=rule_of(item, answer, desk.rows.rule_book),
                opened_by_answer=answer,
                opened_by=answer.by,
                opened_at=answer.received_at,
            )
        )


def _settle_carried(desk: Desk, came_for: Defect, item: Item, answer: Answer, unseen: bool) -> None:
    """One that a job came for closes when all its evidence is there; what fails after that opens it again."""
    if came_for.is_open:
        if not unseen and desk.is_put_right(came_for):
            desk.close_defects(came_for.item, answer)
    elif answer.outcome not in SETTLING and _is_defect(item, answer):
        desk.lay_defect(
            Defect(
                stage=answer.stage,
                item=came_for.item,
                description=came_for.description,
                severity=came_for.grade,
                place=came_for.place,
                rule=came_for.rule,
                measure=came_for.measure,
                carried_from_id=came_for.carried_from_id,
                opened_by_answer=answer,
                opened_by=answer.by,
                opened_at=answer.received_at,
            )
        )


def _severity(item: Item, answer: Answer) -> str:
    """What the checklist says of a failing answer; what stayed unknown is to be corrected."""
    return item.severity_of(answer.raw_text) if answer.outcome == AnswerOutcome.FAIL else Severity.CORRECT


def _is_defect(item: Item, answer: Answer) -> bool:
    if answer.outcome == AnswerOutcome.FAIL:
        return not item.as_found
    return item.required
