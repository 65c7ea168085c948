"""The parts of an inspection report: what was found, what was not seen, what it was the last time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from calcs.checks import Limit
from inspections.checklists.part_names import PARTS
from inspections.checklists.shape import NOT_REACHED
from inspections.models import AnswerOutcome, Defect, Photo, Severity, SiteRecord
from inspections.queries import report_words as words
from inspections.queries.comparison import Comparison, PartSaid, Trend
from inspections.queries.corrections import found_item
from inspections.queries.defect_words import rule_words
from inspections.queries.evidence import ItemView, RecordView, StageView
from inspections.queries.open_defects import open_defects_of
from jobs.figures import source_words
from jobs.models import Site
from jobs.queries.paper_parts import Json, drawing_part, moment_words

#: Lines of what was not inspected that fit on the first page.
_MOST_ON_FRONT = 7
_MOST_DEFECTS_ON_FRONT = 5
#: Figures looked back on beside each value; the drawing and the page of the record hold the rest.
_MOST_READINGS = 3


@dataclass(frozen=True)
class Found:
    """A defect with the stage and the item it belongs to."""

    defect: Defect
    stage: StageView
    item: ItemView | None


def found_defects(view: RecordView) -> list[Found]:
    """Return every defect of a record with its place in it."""
    return [
        Found(defect, stage, stage.item(defect.item)) for stage in view.stages for defect in stage.defects
    ]


def finding_part(found: Iterable[Found], earlier: Iterable[Defect]) -> Json:
    """Return the overall finding: as grave as the gravest defect still open at the house."""
    grades = {one.defect.grade for one in found if one.defect.is_open} | {one.grade for one in earlier}
    key = "use"
    if Severity.DANGER in grades:
        key = "stop"
    elif Severity.CORRECT in grades:
        key = "after"
    word, sentence = words.FINDINGS[key]
    return {"key": key, "word": word, "sentence": sentence}


def count_parts(found: list[Found]) -> list[Json]:
    """Return how many open defects there are of each severity."""
    grades = [one.defect.grade for one in found if one.defect.is_open]
    return [
        {"severity": grade.value, "word": words.SEVERITY_WORDS[grade][0], "count": grades.count(grade)}
        for grade in Severity
    ]


def open_parts(found: list[Found], view: RecordView, site: Site) -> list[Json]:
    """Return the open defects by severity, the gravest first, with what must be done by whom."""
    groups: list[Json] = []
    number = 0
    for grade in Severity:
        defects = [one for one in found if one.defect.is_open and one.defect.grade == grade]
        word, by_whom = words.SEVERITY_WORDS[grade]
        if defects:
            told = [_defect(number + place, one, view, site) for place, one in enumerate(defects, start=1)]
            number += len(told)
            groups.append({"severity": grade.value, "word": word, "by_whom": by_whom, "defects": told})
    return groups


def front_parts(groups: list[Json]) -> list[Json]:
    """Return the gravest open defects in a line each, as many as the first page holds."""
    lines = [
        {
            "severity": group["severity"],
            "number": one["number"],
            "words": f"{one['place']}: {one['description']}",
        }
        for group in groups
        for one in group["defects"]
    ]
    return lines[:_MOST_DEFECTS_ON_FRONT]


def ended_parts(found: list[Found], site: Site) -> list[Json]:
    """Return the defects that were put right or accepted, and how."""
    return [
        {
            "description": one.defect.description,
            "word": words.SEVERITY_WORDS[one.defect.grade][0],
            "ended": _ended(one.defect, site),
        }
        for one in found
        if not one.defect.is_open
    ]


def _ended(defect: Defect, site: Site) -> str:
    waiver = getattr(defect, "waiver", None)
    if defect.closed_by_answer is not None:
        return f"Put right, {defect.closed_by_answer.by.name}"
    if waiver is not None:
        return f"Accepted by {waiver.by.name} on the authority of {waiver.authority}: {waiver.reason}"
    return f"Closed {moment_words(defect.closed_at, site)}" if defect.closed_at else ""


def _defect(number: int, one: Found, view: RecordView, site: Site) -> Json:
    photo = _photo_of(one, view)
    return {
        "number": number,
        "description": one.defect.description,
        "place": _place(one),
        "rule": _rule(one),
        "found": f"{moment_words(one.defect.opened_at, site)}, {one.defect.opened_by.name}",
        "photo": photo.sha256 if photo else "",
        "taken_over": " and ".join(carry.job.number for carry in one.defect.carries.all()),
    }


def earlier_parts(earlier: Iterable[Defect], site: Site) -> list[Json]:
    """Return what was found on earlier visits and is still open."""
    return [
        {
            "severity": one.grade.value,
            "word": words.SEVERITY_WORDS[one.grade][0],
            "words": one.description,
            "found": f"{one.stage.record.job.number}, {moment_words(one.opened_at, site)}",
        }
        for one in earlier
    ]


def earlier_open(record: SiteRecord) -> list[Defect]:
    """Return the defects found at the installation before a record, and open still."""
    found = open_defects_of(record.job.installation).exclude(stage__record=record)
    return list(found.select_related("stage__record__job").prefetch_related("gradings"))


def _place(one: Found) -> str:
    """Where a defect is: as a person wrote it, else the part it is of; its words say what was asked."""
    part = one.item.item.part if one.item else ""
    told = one.defect.place
    if told and not (one.item and told.endswith(one.item.item.ask)):
        return told
    return PARTS.get(part, one.stage.title)


def _rule(one: Found) -> str:
    """The rule a defect breaks: its own, else the source of the limit it misses; once, not twice."""
    rule = ""
    answer = one.defect.opened_by_answer
    if one.defect.rule:
        rule = rule_words(one.defect.rule)
    elif answer is not None and answer.limit:
        rule = source_words(Limit.from_dict(answer.limit))
    return "" if rule in one.defect.description else rule


def _photo_of(one: Found, view: RecordView) -> Photo | None:
    """A photo of the defect: of its own item, else the first of the same part or stage."""
    part = one.item.item.part if one.item else ""
    taken = [
        (item, item.answer.answer.photo)
        for stage in view.stages
        for item in stage.items
        if item.answer and item.answer.answer.photo
    ]
    for item, photo in taken:
        if item.key in {one.defect.item, found_item(one.defect.item).key, f"{one.defect.item}-photo"}:
            return photo
    for item, photo in taken:
        if part and item.item.part == part:
            return photo
    return None


def scope_part(view: RecordView, rule_book: str) -> Json:
    """Return what was looked at, what this level leaves out, and what could not be reached."""
    not_reached = [
        f"{item.item.ask}: {item.answer.said}" for item in _not_reached(view) if item.answer is not None
    ]
    left_out = [*not_reached, *view.checklist.leaves_out]
    more = len(left_out) - _MOST_ON_FRONT
    return {
        "covers": list(view.checklist.covers),
        "leaves_out": list(view.checklist.leaves_out),
        "not_reached": not_reached,
        "front_left_out": left_out[:_MOST_ON_FRONT],
        "more_left_out": f"And {more} more, listed behind this page." if more > 0 else "",
        "local": words.local_words(rule_book),
    }


def _not_reached(view: RecordView) -> Iterator[ItemView]:
    for stage in view.stages:
        for item in stage.items:
            if item.answer is None:
                continue
            not_reached = item.item.kind == "choose" and item.answer.answer.raw_text == NOT_REACHED
            if not_reached or item.verdict == AnswerOutcome.UNKNOWN:
                yield item


def compared_parts(compared: Comparison) -> list[Json]:
    """Return each part's condition now beside the last time, with its photos."""
    return [
        {
            "name": one.name,
            "change": one.change,
            "word": one.word,
            "now": _said(one.now),
            "then": _said(one.then) if one.then else None,
        }
        for one in compared.parts
    ]


def _said(said: PartSaid) -> Json:
    return {
        "word": said.word,
        "verdict": said.verdict,
        "words": said.words,
        "day": said.visit.day,
        "photo": said.photo.sha256 if said.photo else "",
    }


def trend_parts(compared: Comparison) -> list[Json]:
    """Return each value measured on this visit, with its limit, the visits before and their drawing."""
    return [_trend(one) for one in compared.trends if one.readings[-1].visit is compared.now]


def _trend(trend: Trend) -> Json:
    latest = trend.readings[-1]
    limit = Limit.from_dict(latest.answer.limit) if latest.answer.limit else None
    before = [f"{one.words}, {one.visit.day}" for one in reversed(trend.readings[:-1])]
    return {
        "name": trend.name,
        "now": latest.words,
        "verdict": {"outcome": latest.answer.outcome, "word": latest.answer.outcome.capitalize()},
        "limit": trend.limit_text,
        "source": source_words(limit),
        "change": trend.change,
        "word": trend.word,
        "before": before[:_MOST_READINGS],
        # A line that never moved says nothing that the figures do not.
        "drawing": drawing_part(trend.svg, f"{trend.name} over the visits") if trend.moved else None,
    }


def photos_compared(compared: Comparison) -> set[str]:
    """Return the photos of earlier visits that stand beside those of this one."""
    return {
        said.photo.sha256
        for one in compared.parts
        for said in (one.then, one.now)
        if said is not None and said.photo is not None
    }
