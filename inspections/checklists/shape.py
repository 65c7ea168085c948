"""What a checklist is: stages in order, each with cautions and items."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from calcs.wording import in_units
from inspections.checklists.limit_names import LimitName

#: How grave a defect is: immediate danger, must be corrected, advice.
SEVERITIES = ("danger", "correct", "advice")


@dataclass(frozen=True)
class Option:
    """One answer that may be chosen. A failing one opens a defect."""

    key: str
    words: str
    fails: bool = False
    #: How grave the defect is that this choice opens; "" for what its item says.
    severity: str = ""


@dataclass(frozen=True)
class Condition:
    """An item applies only if another one failed, passed, or was answered with one of these choices."""

    item: str
    outcome: str = ""
    chosen: tuple[str, ...] = ()


@dataclass(frozen=True)
class Item:
    """One thing to confirm, measure, photograph, choose or write down."""

    key: str
    kind: str
    ask: str
    how: str = ""
    required: bool = True
    #: What was found before the work put it right: a fail is recorded, but is no defect.
    as_found: bool = False
    quantity: str = ""
    limit: str = ""
    options: tuple[Option, ...] = ()
    when: Condition | None = None
    #: How grave a defect is that a failing answer opens. What stayed unknown is always to be corrected.
    severity: str = "correct"
    #: Key of the rule that a failing answer breaks, in the rule book of the job; "" where none is named. A
    #: measure has the source of its limit.
    rule: str = ""
    #: Facts of the job under which the item is asked: {"rule_book": ("uk",)}. A fact not known asks it.
    only: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def option(self, key: str) -> Option | None:
        """Return the option of this key."""
        return next((one for one in self.options if one.key == key), None)

    def severity_of(self, chosen: str) -> str:
        """Return how grave a failing answer is."""
        option = self.option(chosen)
        return (option.severity if option else "") or self.severity

    def in_units(self, system: str) -> Item:
        """Return the item with the figures of one system of units in its words."""
        options = tuple(replace(one, words=in_units(one.words, system)) for one in self.options)
        return replace(self, ask=in_units(self.ask, system), how=in_units(self.how, system), options=options)


@dataclass(frozen=True)
class Stage:
    """A part of the work that is signed as one. After a hold point nothing is signed until it is."""

    key: str
    title: str
    cautions: tuple[str, ...]
    items: tuple[Item, ...]
    hold: bool = False
    #: Topics of the plan's findings that concern this stage.
    plan_says: tuple[str, ...] = ()

    def item(self, key: str) -> Item | None:
        """Return the item of this key."""
        return next((one for one in self.items if one.key == key), None)

    def in_units(self, system: str) -> Stage:
        """Return the stage with the figures of one system of units in its words."""
        return replace(
            self,
            cautions=tuple(in_units(one, system) for one in self.cautions),
            items=tuple(item.in_units(system) for item in self.items),
        )


@dataclass(frozen=True)
class Checklist:
    """One version of a checklist. A job keeps the version it began with."""

    key: str
    version: int
    title: str
    kinds: tuple[str, ...]
    stages: tuple[Stage, ...]
    routes: tuple[str, ...] = ()
    digest: str = ""

    def stage(self, key: str) -> Stage | None:
        """Return the stage of this key."""
        return next((one for one in self.stages if one.key == key), None)

    def items(self) -> Iterator[tuple[Stage, Item]]:
        """Go through every item with its stage, in order."""
        for stage in self.stages:
            for item in stage.items:
                yield stage, item

    def in_units(self, system: str) -> Checklist:
        """Return the checklist with the figures of one system of units in its words."""
        return replace(self, stages=tuple(stage.in_units(system) for stage in self.stages))

    def limits(self) -> frozenset[LimitName]:
        """Return the names of every limit the checklist measures against."""
        return frozenset(item.limit for _, item in self.items() if item.limit)
