"""The record's parts of a certificate's frozen context: plain JSON, every figure already in words."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from inspections.models import Answer, AnswerKind, Defect, Severity, Signature, Waiver
from inspections.models.defect import FOUND, PHOTO
from inspections.queries.defect_words import rule_words
from inspections.queries.evidence import ItemView, RecordView, StageView
from jobs.models import Site
from jobs.queries.paper_parts import Json, moment_words

#: Shown beside a photo; enough to tell two photos apart and to find the whole hash in the record.
_MARK = 16
_WORDS = {"pass": "Pass", "fail": "Fail", "unknown": "Unknown", "recorded": "Recorded"}
#: Room around a signature and the width of its pen, as shares of the longer side of the ink.
_MARGIN, _PEN = 0.04, 0.012


def stage_parts(view: RecordView, site: Site) -> list[Json]:
    """Return every stage with its answers, the measured ones apart, and its signature."""
    return [_stage(stage, site) for stage in view.stages]


def _stage(stage: StageView, site: Site) -> Json:
    answered = [item for item in stage.items if item.answer is not None]
    signature = stage.signature
    return {
        "number": stage.number,
        "title": stage.title,
        "hold": stage.hold,
        "measures": [_measure(item) for item in answered if item.item.kind == AnswerKind.MEASURE],
        "answers": [
            _answer(item)
            for item in answered
            if item.item.kind != AnswerKind.MEASURE and not _has_photo(item)
        ],
        "signature": signature_part(signature) if signature else None,
        "signed": {"by": signature.name, "at": moment_words(signature.signed_at, site)}
        if signature
        else None,
        "returns": [
            f"Sent back by {one.by.name} on {moment_words(one.at, site)}: {one.reason}"
            for one in stage.returns
        ],
    }


def _has_photo(item: ItemView) -> bool:
    return item.answer is not None and item.answer.answer.photo_id is not None


def _measure(item: ItemView) -> Json:
    part = _answer(item)
    answer = item.answer
    said = answer.said if answer and answer.said != answer.typed else ""
    return {
        **part,
        "said": said,
        "limit": item.limit_text,
        "source": item.source_text,
        "margin": answer.margin if answer else "",
    }


def _answer(item: ItemView) -> Json:
    return {
        "ask": item.item.ask,
        "typed": (item.answer.typed or item.answer.said) if item.answer else "",
        "verdict": _verdict(item),
    }


def _verdict(item: ItemView) -> Json:
    word = _WORDS.get(item.verdict, item.verdict)
    if item.waiver is not None and item.verdict in {"fail", "unknown"}:
        word = f"{word}, waived"
    return {"outcome": item.verdict, "word": word}


def finding_parts(view: RecordView) -> list[Json]:
    """Return what was measured and chosen, for the first page of a job without a drawing; waived first."""
    found = [
        item
        for stage in view.stages
        for item in stage.items
        if item.item.kind in {AnswerKind.MEASURE, AnswerKind.CHOOSE} and item.answer is not None
    ]
    found.sort(key=lambda item: item.verdict not in {"fail", "unknown"})
    return [_answer(item) for item in found]


def photo_parts(view: RecordView, site: Site) -> list[Json]:
    """Return every photo that counts, with what it shows, where it belongs, when and by whom."""
    parts = []
    for number, (stage, item, answer) in enumerate(_photographed(view), start=1):
        if answer.photo is None:
            continue
        taken = moment_words(answer.device_time or answer.received_at, site)
        parts.append(
            {
                "number": number,
                "sha256": answer.photo.sha256,
                "mark": answer.photo.sha256[:_MARK],
                "stage": f"Stage {stage.number}, {stage.title}",
                "ask": item.item.ask,
                "taken": f"{taken}, {answer.by.name}",
            }
        )
    return parts


def _photographed(view: RecordView) -> Iterator[tuple[StageView, ItemView, Answer]]:
    """Every photo that counts: the latest of an item, of a defect as found all of them, oldest first."""
    for stage in view.stages:
        for item in stage.items:
            told = [item.answer, *item.history] if item.several else [item.answer]
            for one in reversed(told):
                if one is not None and one.answer.photo_id is not None:
                    yield stage, item, one.answer


def _photo_numbers(view: RecordView, defect: Defect) -> str:
    """Numbers of the photos that show a defect: as it was found, and as it was put right."""
    hang = {f"{defect.item}{end}" for end in (FOUND, PHOTO)} | {defect.item}
    numbers = [
        str(number)
        for number, (stage, item, _) in enumerate(_photographed(view), start=1)
        if item.key in hang and stage.stage.pk == defect.stage_id
    ]
    return ", ".join(numbers)


def defect_parts(view: RecordView, site: Site) -> list[Json]:
    """Return every defect that was ever raised, and how it ended."""
    return [
        {
            "description": defect.description,
            "stage": f"Stage {stage.number}, {stage.title}",
            "severity": {"outcome": defect.grade.value, "word": defect.grade.label},
            "place": defect.place,
            "rule": rule_words(defect.rule),
            "photos": _photo_numbers(view, defect),
            "gradings": [
                f"Graded anew by {one.by.name}, {moment_words(one.at, site)}: {one.reason}"
                for one in defect.gradings.all()
            ],
            "found": f"{moment_words(defect.opened_at, site)}, {defect.opened_by.name}",
            "ended": _ended(defect, site),
        }
        for stage in view.stages
        for defect in stage.defects
    ]


def _ended(defect: Defect, site: Site) -> str:
    waiver: Waiver | None = getattr(defect, "waiver", None)
    if defect.closed_at is None:
        jobs = [one.job.number for one in defect.carries.select_related("job")]
        carried = f"; to be put right on {', '.join(jobs)}" if jobs else ""
        stop = ". The stove is not to be used" if defect.grade == Severity.DANGER else ""
        return f"Still open{carried}{stop}"
    when = moment_words(defect.closed_at, site)
    if defect.closed_by_answer is not None:
        return f"Put right and entered again by {defect.closed_by_answer.by.name}, {when}"
    return f"Waived by {waiver.by.name}, {when}" if waiver else f"Closed {when}"


def waiver_parts(view: RecordView, site: Site) -> list[Json]:
    """Return every waiver with the authority and the reason it rests on."""
    return [
        {
            "defect": defect.description,
            "stage": f"Stage {stage.number}, {stage.title}",
            "authority": defect.waiver.authority,
            "reason": defect.waiver.reason,
            "by": defect.waiver.by.name,
            "at": moment_words(defect.waiver.at, site),
        }
        for stage in view.stages
        for defect in stage.defects
        if hasattr(defect, "waiver")
    ]


def tally_words(view: RecordView) -> str:
    """Return what the record holds, in one line."""
    measures = [
        item
        for stage in view.stages
        for item in stage.items
        if item.item.kind == AnswerKind.MEASURE and item.answer is not None
    ]
    within = sum(1 for item in measures if item.verdict == "pass")
    waived = len([item for item in measures if item.verdict != "pass" and item.waiver])
    found = len(measures) - within - waived
    values = f"{len(measures)} measured {_plural('value', len(measures))}"
    if measures and within == len(measures):
        values += ", within the limits" if within == 1 else ", all within their limits"
    elif measures:
        values += f": {within} within limits" + (f", {waived} waived" if waived else "")
        values += f", {found} recorded as found" if found else ""
    photos = sum(1 for _ in _photographed(view))
    stages = sum(1 for stage in view.stages if stage.signed)
    return f"{values}; {photos} {_plural('photo', photos)}; {stages} {_plural('stage', stages)} signed"


def _plural(word: str, count: int) -> str:
    return word if count == 1 else f"{word}s"


def signature_part(signature: Signature) -> Json:
    """Return a signature as one SVG path with its box drawn close around the ink, or as a typed name."""
    part: Json = {"name": signature.name, "path": "", "box": "", "pen": ""}
    points: list[Any] = [point for stroke in signature.strokes for point in stroke]
    if not points:
        return part
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    longer = max(right - left, bottom - top, 1.0)
    room = longer * _MARGIN
    box = (left - room, top - room, right - left + 2 * room, bottom - top + 2 * room)
    return {
        **part,
        "path": " ".join(_stroke_path(stroke) for stroke in signature.strokes if stroke),
        "box": " ".join(f"{figure:.1f}" for figure in box),
        "pen": f"{math.ceil(longer * _PEN * 10) / 10:.1f}",
    }


def _stroke_path(stroke: Any) -> str:
    start, *rest = [f"{float(x):.1f} {float(y):.1f}" for x, y in stroke]
    # A dot is a line of no length; its round ends make it seen.
    return f"M{start}L{' L'.join(rest or [start])}"
