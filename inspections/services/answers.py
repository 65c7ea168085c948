"""Answers: one row for each entry, the latest counts, none is ever changed."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction

from inspections.checklists import Item, checklist_get
from inspections.errors import InspectionsError
from inspections.models import Answer, AnswerOutcome, Defect, Photo, SiteRecord, StageRecord
from inspections.queries.applicable import items_applicable
from inspections.queries.crews import works_on
from inspections.queries.records import correction_items, limits_of
from inspections.services.defect_sentences import defect_sentence
from inspections.services.reading import answer_read
from jobs.models import Job, JobStatus, User


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
    record = SiteRecord.objects.select_for_update().get(pk=stage.record_id)
    stage = StageRecord.objects.get(pk=stage.pk)
    if entry is not None and (earlier := _earlier(entry, stage, item, raw_text, photo)):
        return earlier
    _check_may_answer(record, stage, by)
    latest = _latest(record)
    system = record.job.installation.site.unit_system
    told = _item_asked(record, stage, item, latest).in_units(system)
    _check_photo(record, photo)
    reading = answer_read(
        item=told,
        raw_text=raw_text,
        photo=photo,
        limit=limits_of(record).get(told.limit) if told.limit else None,
        system=system,
    )
    answer = Answer.objects.create(
        entry=entry or uuid.uuid4(),
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
        by=by,
        device=device[:120],
        device_time=device_time,
        received_at=now,
        supersedes=latest.get(told.key),
    )
    _settle_defects(record, told, answer)
    _close_what_is_no_longer_asked(record, told, answer, latest)
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


def _check_may_answer(record: SiteRecord, stage: StageRecord, by: User) -> None:
    job = Job.objects.get(pk=record.job_id)
    if not works_on(by, job):
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


def _item_asked(record: SiteRecord, stage: StageRecord, key: str, latest: dict[str, Answer]) -> Item:
    checklist = checklist_get(record.checklist, record.checklist_version)
    told = checklist.stage(stage.key)
    item = told.item(key) if told else None
    if item is None:
        item = _correction(stage, key)
    elif key not in items_applicable(checklist, record.facts, latest):
        raise InspectionsError(
            "item_not_asked", f"“{item.ask}” is not asked on this job as it stands. Load the page again."
        )
    return item


def _correction(stage: StageRecord, key: str) -> Item:
    for defect in stage.defects.filter(item=key.removesuffix("-photo")):
        for item in correction_items(defect):
            if defect.is_raised_alone and item.key == key:
                return item
    raise InspectionsError("no_such_item", "This stage has no such item. Load the page again.")


def _check_photo(record: SiteRecord, photo: Photo | None) -> None:
    if photo is not None and photo.job_id != record.job_id:
        raise InspectionsError("photo_of_another_job", "That photo belongs to another job.")


def _latest(record: SiteRecord) -> dict[str, Answer]:
    return {one.item: one for one in Answer.objects.filter(stage__record=record).order_by("pk")}


def _settle_defects(record: SiteRecord, item: Item, answer: Answer) -> None:
    standing = Defect.objects.filter(stage=answer.stage, item=item.key, closed_at=None)
    if answer.outcome in {AnswerOutcome.PASS, AnswerOutcome.RECORDED}:
        standing.update(closed_by_answer=answer, closed_at=answer.received_at)
    elif _is_defect(item, answer) and not standing.exists():
        Defect.objects.create(
            stage=answer.stage,
            item=item.key,
            description=defect_sentence(item, answer, record.job.installation.site.unit_system),
            opened_by_answer=answer,
            opened_by=answer.by,
            opened_at=answer.received_at,
        )


def _is_defect(item: Item, answer: Answer) -> bool:
    if answer.outcome == AnswerOutcome.FAIL:
        return not item.as_found
    return item.required


def _close_what_is_no_longer_asked(
    record: SiteRecord, item: Item, answer: Answer, latest: dict[str, Answer]
) -> None:
    """A choice that takes items away takes their defects away; choosing back asks for them afresh."""
    checklist = checklist_get(record.checklist, record.checklist_version)
    before = items_applicable(checklist, record.facts, latest)
    gone = before - items_applicable(checklist, record.facts, {**latest, item.key: answer})
    Defect.objects.filter(stage__record=record, item__in=gone, closed_at=None).update(
        closed_by_answer=answer, closed_at=answer.received_at
    )
