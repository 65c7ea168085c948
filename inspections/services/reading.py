"""From what a person entered to a verdict. Text not understood is refused; nothing is guessed."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Check, Limit
from calcs.units import UnitError, parse_quantity
from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.models import AnswerOutcome, Photo
from inspections.queries.wording import CANNOT_TELL
from jobs.forms.quantities import read_quantity

LONGEST_NOTE = 4000
#: Unit of a bare number by kind of quantity and system. Draft gauges differ, so draft needs its unit.
_BARE = {("length", "imperial"): "in", ("length", "metric"): "mm"}


@dataclass(frozen=True)
class Reading:
    """What an entry means."""

    raw_text: str
    outcome: str
    value: float | None = None
    limit: Limit | None = None
    margin: float | None = None


def answer_read(
    *, item: Item, raw_text: str, photo: Photo | None, limit: Limit | None, system: str
) -> Reading:
    """Judge one entry for one item."""
    text = raw_text.strip()
    if photo is not None and item.kind != "photo":
        raise InspectionsError("photo_not_asked", f"“{item.ask}” does not ask for a photo.")
    if text.casefold() == CANNOT_TELL and item.kind != "note":
        return Reading(raw_text=CANNOT_TELL, outcome=AnswerOutcome.UNKNOWN, limit=limit)
    if item.kind == "measure":
        return _measure(item, raw_text, limit, system)
    if item.kind == "photo":
        if photo is None:
            raise InspectionsError("photo_missing", "Take the photo first, then send it.")
        return Reading(raw_text=text, outcome=AnswerOutcome.RECORDED)
    if item.kind == "confirm":
        return _confirm(text)
    if item.kind == "choose":
        return _choose(item, text)
    return _note(text)


def _measure(item: Item, raw_text: str, limit: Limit | None, system: str) -> Reading:
    try:
        if item.quantity == "thermal resistance":
            value = read_quantity(raw_text, item.quantity, system)
        else:
            value = parse_quantity(raw_text, item.quantity, _BARE.get((item.quantity, system), ""))
    except UnitError as error:
        raise InspectionsError(error.code, str(error)) from error
    if value < 0:
        raise InspectionsError("negative", _without_sign(item))
    check = Check(item.limit, value, limit)
    return Reading(
        raw_text=raw_text.strip(),
        outcome=AnswerOutcome(check.outcome),
        value=value,
        limit=limit,
        margin=check.margin,
    )


def _without_sign(item: Item) -> str:
    if item.quantity == "draft":
        return (
            "Type the draft without a minus sign. If the flue pushes smoke out, there is no draft: type 0 Pa."
        )
    return "Type how much it is, without a minus sign."


def _confirm(text: str) -> Reading:
    if text.casefold() not in {"yes", "no"}:
        raise InspectionsError("yes_or_no", "Answer yes, no or cannot tell.")
    yes = text.casefold() == "yes"
    return Reading(raw_text=text.casefold(), outcome=AnswerOutcome.PASS if yes else AnswerOutcome.FAIL)


def _choose(item: Item, text: str) -> Reading:
    option = item.option(text)
    if option is None:
        words = "; ".join(one.words for one in item.options)
        raise InspectionsError("no_such_choice", f"Choose one of: {words}.")
    if option.fails:
        return Reading(raw_text=text, outcome=AnswerOutcome.FAIL)
    judges = not option.silent and any(one.fails for one in item.options)
    return Reading(raw_text=text, outcome=AnswerOutcome.PASS if judges else AnswerOutcome.RECORDED)


def _note(text: str) -> Reading:
    if not text:
        raise InspectionsError("note_empty", "Write the note first, then save it.")
    if len(text) > LONGEST_NOTE:
        raise InspectionsError("note_too_long", f"Keep the note to {LONGEST_NOTE} characters.")
    return Reading(raw_text=text, outcome=AnswerOutcome.RECORDED)
