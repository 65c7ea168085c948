"""What was found on a job so far: answers with their history, defects, and what came too late."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calcs.checks import Limit
from inspections.checklists import Checklist, Item
from inspections.models import Answer, Defect, EntryOutcome, SiteRecord, TabletEntry
from inspections.models.defect import FOUND
from inspections.queries import wording
from inspections.queries.bundle_pictures import picture_part
from inspections.queries.bundle_shape import (
    AnswerPart,
    DefectPart,
    ItemPart,
    LatePart,
    WaiverPart,
)
from inspections.queries.bundle_stages import item_part
from inspections.queries.corrections import found_item
from inspections.queries.defect_words import rule_words
from inspections.queries.found_photos import photos_before
from inspections.queries.late_entries import LateView, late_view
from inspections.queries.records import correction_items
from jobs.models import Job


def defects_of(record: SiteRecord) -> list[Defect]:
    """Return every defect a record ever had, oldest first."""
    found = Defect.objects.filter(stage__record=record)
    found = found.select_related("stage", "waiver__by", "opened_by", "carried_from", "closed_by_answer")
    return list(found.prefetch_related("gradings").order_by("pk"))


def answer_parts(
    record: SiteRecord, checklist: Checklist, defects: Sequence[Defect], system: str
) -> list[AnswerPart]:
    """Return every answer, oldest first, those that were superseded too."""
    items = _items(checklist, defects)
    answers = Answer.objects.filter(stage__record=record).select_related("stage", "by", "photo")
    return [_answer(answer, items, system) for answer in answers.order_by("pk")]


def defect_parts(defects: Sequence[Defect], limits: Mapping[str, Limit], system: str) -> list[DefectPart]:
    """Return defects for a tablet."""
    photos = photos_before(defects)
    return [
        DefectPart(
            id=defect.pk,
            stage=defect.stage.key,
            item=defect.item,
            description=defect.description,
            open=defect.is_open,
            raised_alone=defect.is_raised_alone,
            by=defect.opened_by.name,
            at=defect.opened_at,
            waiver=_waiver(defect),
            severity=defect.grade.value,  # type: ignore[arg-type]
            place=defect.place,
            rule=rule_words(defect.rule),
            came_for=defect.carried_from_id is not None,
            items=_items_of(defect, limits, system),
            photos=[picture_part(one) for one in photos.get(defect.carried_from_id or 0, ())],
        )
        for defect in defects
    ]


def _items_of(defect: Defect, limits: Mapping[str, Limit], system: str) -> list[ItemPart]:
    if defect.carried_from_id is None:
        return []
    return [item_part(item, limits, system) for item in correction_items(defect)]


def late_parts(job: Job, checklist: Checklist, defects: Sequence[Defect]) -> list[LatePart]:
    """Return what came too late for the record, oldest first."""
    late = TabletEntry.objects.filter(job=job, outcome=EntryOutcome.LATE).select_related("by", "look")
    return [
        _late(late_view(one, checklist, defects))
        for one in late.select_related("brought_in_by").order_by("pk")
    ]


def _late(view: LateView) -> LatePart:
    return LatePart(
        entry=view.entry.entry,
        stage=view.entry.stage,
        item=view.entry.item,
        words=view.words,
        why=view.why,
        by=view.entry.by.name,
        received_at=view.entry.received_at,
        looked_at=view.entry.is_looked_at,
    )


def _items(checklist: Checklist, defects: Sequence[Defect]) -> dict[str, Item]:
    items = {item.key: item for _, item in checklist.items()}
    for defect in defects:
        items[f"{defect.item}{FOUND}"] = found_item(defect.item)
        if defect.is_raised_alone:
            items.update({item.key: item for item in correction_items(defect)})
    return items


def _answer(answer: Answer, items: Mapping[str, Item], system: str) -> AnswerPart:
    item = items.get(answer.item) or Item(key=answer.item, kind=answer.kind, ask="")
    return AnswerPart(
        entry=answer.entry,
        stage=answer.stage.key,
        item=answer.item,
        kind=answer.kind,  # type: ignore[arg-type]
        text=answer.raw_text,
        value=answer.value,
        verdict=answer.outcome,  # type: ignore[arg-type]
        said=wording.answer_words(item, answer, system),
        margin=wording.margin_words(item, answer, system),
        by=answer.by.name,
        received_at=answer.received_at,
        photo=picture_part(answer.photo) if answer.photo else None,
    )


def _waiver(defect: Defect) -> WaiverPart | None:
    waiver = getattr(defect, "waiver", None)
    if waiver is None:
        return None
    return WaiverPart(by=waiver.by.name, at=waiver.at, authority=waiver.authority, reason=waiver.reason)
