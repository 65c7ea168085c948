"""Answers, limits and margins in words, in the units of the site."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Limit
from inspections.checklists import Item
from inspections.models import Answer, AnswerKind, AnswerOutcome
from inspections.queries.gauge import Gauge, gauge_of
from jobs.figures import figure_words, limit_words, measured_words, source_words

NO_LIMIT = "no limit is known"
#: What is written for an item that could not be judged on site.
CANNOT_TELL = "cannot tell"
_CONFIRMED = {"yes": "Yes", "no": "No", CANNOT_TELL: "Cannot tell"}


def item_limit_words(item: Item, limit: Limit | None, system: str) -> str:
    """Return what a measure must meet, such as "at least 2 in"."""
    if not item.limit:
        return ""
    return limit_words(limit, item.limit, system) if limit else NO_LIMIT


def item_source_words(limit: Limit | None) -> str:
    """Return where a limit comes from."""
    return source_words(limit)


def answer_words(item: Item, answer: Answer, system: str) -> str:
    """Return an answer as it was read: a figure in the site's units, a choice in its words."""
    if answer.kind == AnswerKind.MEASURE:
        if answer.value is None:
            return "Could not be measured"
        limit = Limit.from_dict(answer.limit) if answer.limit else None
        return measured_words(answer.value, limit, item.quantity, system)
    if answer.kind == AnswerKind.CHOOSE:
        option = item.option(answer.raw_text)
        return option.words if option else "Cannot tell"
    if answer.kind == AnswerKind.CONFIRM:
        return _CONFIRMED.get(answer.raw_text, answer.raw_text)
    if answer.kind == AnswerKind.PHOTO and answer.photo_id is None:
        return "Could not be photographed"
    return answer.raw_text or "Photo"


def typed_words(item: Item, answer: Answer) -> str:
    """Return what a person entered: the raw text, or the words of the button that was pressed."""
    if answer.kind in {AnswerKind.MEASURE, AnswerKind.NOTE}:
        return answer.raw_text
    return answer_words(item, answer, "metric")


def margin_words(item: Item, answer: Answer, system: str) -> str:
    """Return how much room is left, or by how much the limit is missed."""
    limit = Limit.from_dict(answer.limit) if answer.limit else None
    if answer.margin is None or answer.value is None or limit is None:
        return ""
    if abs(answer.margin) <= EQUAL_WITHIN:
        return "exactly at the limit"
    if answer.margin > 0:
        return f"{figure_words(answer.margin, item.quantity, system, rounding='down')} to spare"
    missed = figure_words(-answer.margin, item.quantity, system, rounding="up")
    too_little = limit.minimum is not None and answer.value < limit.minimum
    return f"{missed} too little" if too_little else f"{missed} too much"


def item_gauge(item: Item, limit: Limit | None, answer: Answer | None, system: str) -> Gauge | None:
    """Return the bar of a measure; none where no limit is known."""
    if limit is None or (limit.minimum is None and limit.maximum is None):
        return None
    value = answer.value if answer else None
    allowed = item_limit_words(item, limit, system)
    shown = measured_words(value, limit, item.quantity, system) if value is not None else ""
    verdict = answer.outcome if answer else ""
    judged = verdict in {AnswerOutcome.PASS, AnswerOutcome.FAIL}
    words = f"Measured {shown}, allowed {allowed}: {verdict}" if shown and judged else f"Allowed: {allowed}"
    return gauge_of(
        limit=limit,
        value=value,
        minimum_text=_end(limit.minimum, item, system, "up"),
        maximum_text=_end(limit.maximum, item, system, "down"),
        value_text=shown,
        verdict=verdict,
        words=words,
    )


def _end(value: float | None, item: Item, system: str, rounding: str) -> str:
    return "" if value is None else figure_words(value, item.quantity, system, rounding=rounding)
