"""How a plan was reckoned, as tables a person can follow."""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.checks import Limit, Source
from calcs.plan import Plan
from calcs.steps import Step
from jobs.figures import figure_words, source_words
from jobs.rule_page import rule_address

_UNITS = {
    "m2": "m²",
    "m3": "m³",
    "m/s2": "m/s²",
    "deg": "°",
    "degC": "°C",
    "kg/m3": "kg/m³",
    "m2K/W": "m² K/W",
    "W/(m2K)": "W/(m² K)",
    "W/(m2 K)": "W/(m² K)",
    "count": "",
    "1": "",
    "-": "",
}
_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


@dataclass(frozen=True)
class StepRow:
    """One line of a working; one without formula and result is a heading."""

    says: str
    formula: str
    #: In the units of the house, and in SI where that says more.
    words: str
    si: str
    source: str
    source_url: str

    @property
    def is_heading(self) -> bool:
        """Whether it only says what the next lines reckon."""
        return not (self.formula or self.words or self.source)


@dataclass(frozen=True)
class Working:
    """The reckoning behind one finding."""

    topic: str
    anchor: str
    rows: tuple[StepRow, ...]


def anchor_of(topic: str) -> str:
    """Return the name of a topic's table on the page."""
    return f"reckoned-{re.sub(r'[^a-z0-9]+', '-', topic.lower()).strip('-')}"


def workings_of(plan: Plan) -> list[Working]:
    """Return every working of a plan, in the order of its findings, what belongs to none last."""
    topics = [one.topic for one in plan.findings if plan.working.get(one.topic)]
    topics += [topic for topic, steps in plan.working.items() if steps]
    return [
        Working(topic, anchor_of(topic), tuple(_row(step, plan) for step in plan.working[topic]))
        for topic in dict.fromkeys(topics)
    ]


def _row(step: Step, plan: Plan) -> StepRow:
    si = "" if step.result is None else f"{_number(step.result)} {_unit(step.unit)}".strip()
    words = figure_words(step.result, step.kind, plan.system) if si and step.kind else si
    source, url = source_of(plan, step.source)
    return StepRow(step.says, step.formula, words, "" if words == si else si, source, url)


def source_of(plan: Plan, source: Source | None) -> tuple[str, str]:
    """Return a source in words, and the address of the rule it is, "" where it is none."""
    if source is None:
        return "", ""
    return source_words(Limit(None, None, "", source)), rule_address(plan.rulebook, source)


def _unit(unit: str) -> str:
    return _UNITS.get(unit, unit)


def _number(value: float) -> str:
    digits, _, power = f"{value:.6g}".partition("e")
    return f"{digits} × 10{str(int(power)).translate(_POWERS)}" if power else digits
