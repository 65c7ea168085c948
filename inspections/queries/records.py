"""Which records somebody may see, and one record as a whole."""

from __future__ import annotations

from datetime import datetime

from django.db.models import QuerySet

from inspections.checklists import Item, Stage
from inspections.models import Answer, AnswerOutcome, Defect, Severity, SiteRecord, StageRecord, Waiver
from inspections.queries import wording
from inspections.queries.evidence import AnswerView, EarlierSignOff, ItemView, RecordView, StageView
from inspections.queries.late_entries import LateView, late_views
from inspections.queries.record_rows import (
    RecordRows,
    correction_items,
    found_item,
    limits_of,
    rows_read,
    waiver_of,
)
from inspections.queries.tablet_words import answer_notes, entry_notes
from jobs.models import User
from jobs.queries.jobs import in_visible_jobs
from jobs.rule_page import rule_address

__all__ = ["correction_items", "limits_of", "record_view", "record_view_of", "records_visible_to"]


def records_visible_to(user: User) -> QuerySet[SiteRecord]:
    """Return the records of the jobs a user may see."""
    records = SiteRecord.objects.filter(in_visible_jobs(user, "job"))
    return records.select_related("job__installation__site__customer", "plan", "begun_by").defer("plan__data")


def record_view(record: SiteRecord) -> RecordView:
    """Return a record with every stage, item, answer and defect; as many queries for long ones as short."""
    return record_view_of(rows_read(record))


def record_view_of(rows: RecordRows) -> RecordView:
    """Return a record as its rows tell it, whether they are in the database yet or not."""
    stages: list[StageView] = []
    hold = ""
    for number, (told, stage) in enumerate(zip(rows.checklist.stages, rows.stages, strict=True), start=1):
        stages.append(_stage_view(rows, told, stage, number, hold))
        if told.hold and not stage.is_signed and not hold:
            hold = told.title
    defects = rows.all_defects()
    late = late_views(rows)
    sign_off = rows.sign_off
    return RecordView(
        record=rows.record,
        checklist=rows.checklist,
        system=rows.system,
        stages=tuple(stages),
        missing=(
            *(f"{stage.title}: {sentence}" for stage in stages for sentence in _keeps_from_closing(stage)),
            *(_look_sentence(one) for one in late if not one.entry.is_looked_at),
        ),
        open_defects=tuple(defect for defect in defects if defect.is_open),
        waivers=tuple(waiver for waiver in map(waiver_of, defects) if waiver),
        photos=rows.photos(),
        late=late,
        sign_off=sign_off,
        sign_off_notes=_signing_notes(rows, "", sign_off.at) if sign_off else (),
        earlier_sign_offs=tuple(
            EarlierSignOff(one, one.reopening, _signing_notes(rows, "", one.at))
            for one in rows.sign_offs
            if not one.is_in_force
        ),
    )


def _stage_view(rows: RecordRows, told: Stage, stage: StageRecord, number: int, hold: str) -> StageView:
    items = []
    for item in told.items:
        if item.key in rows.applicable:
            items.append(_item_view(rows, item, stage))
        if _asks_for_photos(rows, item.key, stage):
            items.append(_item_view(rows, found_item(item.key), stage))
    raised = [one for found in rows.defects.values() for one in found if one.stage_id == stage.pk]
    for found in rows.defects.values():
        # One that failed again after it was put right has a further defect, and still one item.
        first = found[0] if found else None
        if first is not None and first.is_raised_alone and first.stage_id == stage.pk:
            items.extend(_item_view(rows, item, stage) for item in correction_items(first))
    return StageView(
        stage=stage,
        key=told.key,
        title=told.title,
        number=number,
        hold=told.hold,
        cautions=told.cautions,
        items=tuple(items),
        missing=tuple(_missing_sentence(item) for item in items if not item.settled),
        open_defects=tuple(one for one in raised if one.is_open),
        defects=tuple(raised),
        locked_by=hold,
        signature=stage.signature,
        returns=tuple(rows.returns[stage.pk]),
        signature_notes=_signing_notes(rows, told.key, stage.signed_at) if stage.is_signed else (),
    )


def _asks_for_photos(rows: RecordRows, key: str, stage: StageRecord) -> bool:
    """Whether photos of a defect as found are wanted beside an item of the checklist, or were taken."""
    here = [one for one in rows.defects.get(key, ()) if one.stage_id == stage.pk]
    return any(one.is_open for one in here) or bool(here and rows.answers.get(found_item(key).key))


def _signing_notes(rows: RecordRows, stage: str, at: datetime | None) -> tuple[str, ...]:
    entry = rows.signing_of(stage, at)
    return entry_notes(entry) if entry else ()


def _item_view(rows: RecordRows, item: Item, stage: StageRecord) -> ItemView:
    answers = rows.answers.get(item.key, [])
    limit = rows.limits.get(item.limit) if item.limit else None
    views = tuple(_answer_view(item, answer, rows.system) for answer in answers)
    latest = answers[0] if answers else None
    defects = rows.defects.get(item.key, [])
    defect = next((one for one in defects if one.is_open), None)
    return ItemView(
        item=item,
        stage=stage,
        required=item.required,
        limit=limit,
        limit_text=wording.item_limit_words(item, limit, rows.system),
        source_text=wording.item_source_words(limit),
        source_url=rule_address(rows.rule_book, limit.source if limit else None),
        answer=views[0] if views else None,
        history=views[1:],
        defect=defect,
        waiver=_covering_waiver(defects, latest),
        gauge=wording.item_gauge(item, limit, latest, rows.system),
        photos_before=tuple(rows.photos_before.get(defect.carried_from_id or 0, ())) if defect else (),
        may_stay=defect is not None and _may_stay(rows, item, defect, latest),
    )


def _may_stay(rows: RecordRows, item: Item, defect: Defect, latest: Answer | None) -> bool:
    """Whether a stage may be signed over an open defect; what is not known stays in the way."""
    not_known = latest is None or latest.outcome == AnswerOutcome.UNKNOWN
    if not_known and item.required and not defect.is_raised_alone:
        return False
    if defect.grade == Severity.ADVICE:
        return True
    # What a job came for is put right on it.
    return rows.may_carry and defect.carried_from_id is None


def _answer_view(item: Item, answer: Answer, system: str) -> AnswerView:
    return AnswerView(
        answer=answer,
        typed=wording.typed_words(item, answer),
        said=wording.answer_words(item, answer, system),
        verdict=answer.outcome,
        margin=wording.margin_words(item, answer, system),
        notes=answer_notes(answer),
    )


def _covering_waiver(defects: list[Defect], latest: Answer | None) -> Waiver | None:
    """A waiver accepts what had been found when it was given, nothing entered after it."""
    for waiver in filter(None, map(waiver_of, reversed(defects))):
        if latest is None or waiver.at >= latest.received_at:
            return waiver
    return None


def _missing_sentence(item: ItemView) -> str:
    if item.defect is not None:
        return (
            f"{item.item.ask} - a defect is open. Put it right and enter it again, or ask the inspector to"
            " accept it."
        )
    if item.answer is None:
        return f"{item.item.ask} - {'no photo yet' if item.item.kind == 'photo' else 'not answered yet'}."
    return f"{item.item.ask} - {item.verdict}. Enter it again."


def _look_sentence(late: LateView) -> str:
    told = f"what {late.entry.by} sent too late: {late.words}"
    where = f"{late.stage_title}: " if late.stage_title else ""
    return f"{where}{told} - look at it and write what follows from it."


def _keeps_from_closing(stage: StageView) -> list[str]:
    sentences = list(stage.missing)
    if not stage.signed:
        sentences.append("not signed by the crew yet.")
    return sentences
