"""Items as a tablet shows them: what is known of each, and what its controls need."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from typing import Literal

from inspections.checklists import Checklist, Item
from inspections.models.defect import FOUND
from inspections.queries.evidence import ItemView, StageView
from inspections.queries.last_time import LastTime
from inspections.queries.wording import CANNOT_TELL

Keys = tuple[tuple[str, str], ...]

_EIGHTHS = ("1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")
#: Keys beside a measure's field by quantity and system: what is on the key, what it writes.
_KEYS: dict[tuple[str, str], Keys] = {
    ("length", "imperial"): (
        *((one, f" {one}") for one in _EIGHTHS),
        ("/", "/"),
        ("space", " "),
        ("ft", " ft "),
        ("in", " in"),
    ),
    ("length", "metric"): (("mm", " mm"), ("cm", " cm"), ("m", " m")),
    ("slope", "imperial"): (("1/4", " 1/4"), ("1/2", " 1/2"), ("in per ft", " in per ft"), ("mm/m", " mm/m")),
    ("slope", "metric"): (("mm/m", " mm/m"), ("in per ft", " in per ft")),
    ("draft", "imperial"): (("in w.c.", " in w.c."), ("Pa", " Pa")),
    ("draft", "metric"): (("Pa", " Pa"), ("mm H2O", " mm H2O")),
    ("concentration", "imperial"): (("ppm", " ppm"),),
    ("concentration", "metric"): (("ppm", " ppm"),),
    ("percent", "imperial"): (("%", " %"),),
    ("percent", "metric"): (("%", " %"),),
}
_HINTS = {
    ("length", "imperial"): "inches, such as 22 1/2",
    ("length", "metric"): "millimetres, such as 572",
    ("slope", "imperial"): "such as 1/4 in per ft",
    ("slope", "metric"): "such as 20 mm/m",
    ("draft", "imperial"): "with its unit, such as 0.05 in w.c.",
    ("draft", "metric"): "with its unit, such as 12 Pa",
    ("percent", "imperial"): "percent, such as 18",
    ("percent", "metric"): "percent, such as 18",
    ("concentration", "imperial"): "parts in a million, such as 3 ppm",
    ("concentration", "metric"): "parts in a million, such as 3 ppm",
    ("thermal resistance", "imperial"): "R, such as 1.2",
    ("thermal resistance", "metric"): "in m2K/W, such as 0.21",
    ("count", "imperial"): "a whole number",
    ("count", "metric"): "a whole number",
}


@dataclass(frozen=True)
class Card:
    """One item on the page. One that does not apply keeps its place, hidden, so that it can appear."""

    key: str
    view: ItemView | None
    #: Whether this person may enter something now.
    open: bool = False
    entry: uuid.UUID = field(default_factory=uuid.uuid4)
    #: What was typed and not understood, and the sentence that says so.
    typed: str = ""
    refusal: str = ""
    keys: Keys = ()
    hint: str = ""
    #: What was found the last time, where an earlier visit tells.
    last: LastTime | None = None
    #: Whether it replaces a card elsewhere on the page.
    elsewhere: bool = False

    @property
    def template(self) -> str:
        """The template of this kind of item."""
        return f"inspections/items/{self.view.item.kind}.html" if self.view else ""

    @property
    def folded(self) -> bool:
        """Whether entering it again is put away, because nothing asks for it."""
        return (
            self.view is not None and self.view.answer is not None and self.view.settled and not self.refusal
        )

    @property
    def frozen_words(self) -> str:
        """What was answered, where no control shows it any more."""
        if self.open or self.view is None or self.view.answer is None:
            return ""
        return self.view.answer.said if self.view.item.kind in {"confirm", "choose", "note"} else ""

    @property
    def input_mode(self) -> str:
        """The keyboard the tablet shows."""
        return keyboard_of(self.view.item) if self.view else "text"

    @property
    def cannot_tell(self) -> str:
        """What is sent when something cannot be judged."""
        return CANNOT_TELL


def keys_of(item: Item, system: str) -> Keys:
    """Return the keys beside the field of a measure."""
    return _KEYS.get((item.quantity, system), ())


def hint_of(item: Item, system: str) -> str:
    """Return how a measure is written."""
    return _HINTS.get((item.quantity, system), "")


def keyboard_of(item: Item) -> Literal["decimal", "numeric", "text"]:
    """Return the keyboard an item's field wants."""
    if item.kind != "measure" or item.quantity == "slope":
        return "text"
    return "numeric" if item.quantity == "count" else "decimal"


def card_of(view: ItemView, *, system: str, is_open: bool, typed: str = "", refusal: str = "") -> Card:
    """Return the card of an item that applies."""
    return Card(
        key=view.key,
        view=view,
        open=is_open,
        typed=typed,
        refusal=refusal,
        keys=keys_of(view.item, system),
        hint=hint_of(view.item, system),
    )


def cards_of(stage: StageView, checklist: Checklist, *, system: str, is_open: bool) -> list[Card]:
    """Return the cards of a stage in order, hidden ones in their places, corrections last."""
    told = checklist.stage(stage.key)
    # Beside each item its photos of a defect as found keep their place too.
    keys = [key for item in told.items for key in (item.key, f"{item.key}{FOUND}")] if told else []
    keys += [view.key for view in stage.items if view.key not in keys]
    return [card_at(stage, key, system=system, is_open=is_open) for key in keys]


def card_at(stage: StageView, key: str, *, system: str, is_open: bool) -> Card:
    """Return one card, hidden when its item does not apply."""
    view = stage.item(key)
    return card_of(view, system=system, is_open=is_open) if view else Card(key=key, view=None)
