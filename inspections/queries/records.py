"""Which records somebody may see, and one record as a whole."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import QuerySet

from calcs.checks import Limit
from inspections.checklists import Checklist, Item, Stage, checklist_get
from inspections.models import Answer, Defect, Photo, SiteRecord, StageRecord, StageReturn, Waiver
from inspections.queries import wording
from inspections.queries.applicable import items_applicable
from inspections.queries.evidence import AnswerView, ItemView, RecordView, StageView
from jobs.models import User
from jobs.queries.jobs import in_visible_jobs
from jobs.rule_page import rule_address


def records_visible_to(user: User) -> QuerySet[SiteRecord]:
    """Return the records of the jobs a user may see."""
    records = SiteRecord.objects.filter(in_visible_jobs(user, "job"))
    return records.select_related("job__installation__site__customer", "plan", "begun_by").defer("plan__data")


def limits_of(record: SiteRecord) -> dict[str, Limit]:
    """Return the limits pinned when the work began."""
    return {name: Limit.from_dict(data) for name, data in record.limits.items()}


def record_view(record: SiteRecord) -> RecordView:
    """Return a record with every stage, item, answer and defect; as many queries for long ones as short."""
    rows = _read(record)
    stages: list[StageView] = []
    hold = ""
    for number, (told, stage) in enumerate(zip(rows.checklist.stages, rows.stages, strict=True), start=1):
        stages.append(_stage_view(rows, told, stage, number, hold))
        if told.hold and not stage.is_signed and not hold:
            hold = told.title
    defects = [defect for found in rows.defects.values() for defect in found]
    return RecordView(
        record=record,
        checklist=rows.checklist,
        system=rows.system,
        stages=tuple(stages),
        missing=tuple(
            f"{stage.title}: {sentence}" for stage in stages for sentence in _keeps_from_closing(stage)
        ),
        open_defects=tuple(defect for defect in defects if defect.is_open),
        waivers=tuple(waiver for waiver in map(_waiver, defects) if waiver),
        photos=rows.photos(),
        sign_off=getattr(record, "sign_off", None),
    )


@dataclass(frozen=True)
class _Rows:
    """What was read from the database, sorted."""

    checklist: Checklist
    system: str
    #: Code of the rule book the record is held to.
    rule_book: str
    stages: list[StageRecord]
    limits: dict[str, Limit]
    #: By item, newest first. Keys of items are unique in a checklist.
    answers: dict[str, list[Answer]]
    defects: dict[str, list[Defect]]
    returns: dict[int, list[StageReturn]]
    applicable: frozenset[str]

    def photos(self) -> tuple[Photo, ...]:
        """Photos of the answers that count, in the order of the checklist."""
        keys = [item.key for _, item in self.checklist.items()] + sorted(self.defects)
        latest = [self.answers[key][0] for key in dict.fromkeys(keys) if self.answers.get(key)]
        return tuple(answer.photo for answer in latest if answer.photo is not None)


def _read(record: SiteRecord) -> _Rows:
    system = record.job.installation.site.unit_system
    checklist = checklist_get(record.checklist, record.checklist_version).in_units(system)
    answers: dict[str, list[Answer]] = defaultdict(list)
    found = Answer.objects.filter(stage__record=record).select_related("by", "photo").order_by("-pk")
    for answer in found:
        answers[answer.item].append(answer)
    defects: dict[str, list[Defect]] = defaultdict(list)
    for defect in (
        Defect.objects.filter(stage__record=record)
        .select_related("stage", "waiver__by", "opened_by", "opened_by_answer__by", "closed_by_answer__by")
        .order_by("pk")
    ):
        defects[defect.item].append(defect)
    returns: dict[int, list[StageReturn]] = defaultdict(list)
    for one in StageReturn.objects.filter(stage__record=record).select_related(
        "by", "signed_by", "signature"
    ):
        returns[one.stage_id].append(one)
    latest = {key: rows[0] for key, rows in answers.items()}
    return _Rows(
        checklist=checklist,
        system=system,
        rule_book=record.facts.get("rule_book", ""),
        stages=list(record.stages.select_related("signature", "signed_by").order_by("position")),
        limits=limits_of(record),
        answers=answers,
        defects=defects,
        returns=returns,
        applicable=items_applicable(checklist, record.facts, latest),
    )


def _stage_view(rows: _Rows, told: Stage, stage: StageRecord, number: int, hold: str) -> StageView:
    items = [_item_view(rows, item, stage) for item in told.items if item.key in rows.applicable]
    raised = [one for found in rows.defects.values() for one in found if one.stage_id == stage.pk]
    for defect in raised:
        if defect.is_raised_alone:
            items.extend(_item_view(rows, item, stage) for item in correction_items(defect))
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
    )


def correction_items(defect: Defect) -> tuple[Item, Item]:
    """Return the items by which a defect that belongs to no item of the checklist is put right."""
    waived = _waiver(defect) is not None
    return (
        Item(
            key=defect.item,
            kind="confirm",
            ask=f"Put right: {defect.description}",
            how="Answer yes when it has been put right and you have looked at it yourself.",
            required=not waived,
        ),
        Item(
            key=f"{defect.item}-photo",
            kind="photo",
            ask="Photo of what was put right",
            required=False,
        ),
    )


def _item_view(rows: _Rows, item: Item, stage: StageRecord) -> ItemView:
    answers = rows.answers.get(item.key, [])
    limit = rows.limits.get(item.limit) if item.limit else None
    views = tuple(_answer_view(item, answer, rows.system) for answer in answers)
    latest = answers[0] if answers else None
    defects = rows.defects.get(item.key, [])
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
        defect=next((one for one in defects if one.is_open), None),
        waiver=_covering_waiver(defects, latest),
        gauge=wording.item_gauge(item, limit, latest, rows.system),
    )


def _answer_view(item: Item, answer: Answer, system: str) -> AnswerView:
    return AnswerView(
        answer=answer,
        typed=wording.typed_words(item, answer),
        said=wording.answer_words(item, answer, system),
        verdict=answer.outcome,
        margin=wording.margin_words(item, answer, system),
    )


def _covering_waiver(defects: list[Defect], latest: Answer | None) -> Waiver | None:
    """A waiver accepts what had been found when it was given, nothing entered after it."""
    for waiver in filter(None, map(_waiver, reversed(defects))):
        if latest is None or waiver.at >= latest.received_at:
            return waiver
    return None


def _waiver(defect: Defect) -> Waiver | None:
    return getattr(defect, "waiver", None)


def _missing_sentence(item: ItemView) -> str:
    if item.defect is not None:
        return (
            f"{item.item.ask} - a defect is open. Put it right and enter it again, or ask the inspector to"
            " accept it."
        )
    if item.answer is None:
        return f"{item.item.ask} - {'no photo yet' if item.item.kind == 'photo' else 'not answered yet'}."
    return f"{item.item.ask} - {item.verdict}. Enter it again."


def _keeps_from_closing(stage: StageView) -> list[str]:
    sentences = list(stage.missing)
    if not stage.signed:
        sentences.append("not signed by the crew yet.")
    return sentences
