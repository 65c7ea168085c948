"""How a plan was reckoned, as tables a person can follow."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import groupby

from calcs.checks import Limit, Source
from calcs.plan import Plan
from calcs.steps import Step
from jobs.figures import figure_words, source_words
from jobs.rule_page import rule_address


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
class Line:
    """One relation with its result in each column."""

    says: str
    formula: str
    results: tuple[StepRow, ...]
    source: str
    source_url: str


@dataclass(frozen=True)
class Block:
    """Steps that run in the same way, one column for each time they do."""

    #: What each column reckons; "" where there is only one and nothing was said.
    heads: tuple[str, ...]
    lines: tuple[Line, ...]

    @property
    def is_wide(self) -> bool:
        """Whether its columns leave no room for the sources beside them."""
        return len(self.heads) > 1


@dataclass(frozen=True)
class Working:
    """The reckoning behind one finding."""

    topic: str
    anchor: str
    blocks: tuple[Block, ...]


def anchor_of(topic: str) -> str:
    """Return the name of a topic's table on the page."""
    return f"reckoned-{re.sub(r'[^a-z0-9]+', '-', topic.lower()).strip('-')}"


def workings_of(plan: Plan) -> list[Working]:
    """Return every working of a plan, in the order of its findings, what belongs to none last."""
    topics = [one.topic for one in plan.findings if plan.working.get(one.topic)]
    topics += [topic for topic, steps in plan.working.items() if steps]
    return [
        Working(topic, anchor_of(topic), _blocks([_row(step, plan) for step in plan.working[topic]]))
        for topic in dict.fromkeys(topics)
    ]


def _blocks(rows: list[StepRow]) -> tuple[Block, ...]:
    """Lay steps that repeat under one heading after the other side by side."""
    groups: list[tuple[str, list[StepRow]]] = []
    for row in rows:
        if row.is_heading or not groups:
            groups.append((row.says if row.is_heading else "", []))
        if not row.is_heading:
            groups[-1][1].append(row)
    return tuple(_block(list(alike)) for _, alike in groupby(groups, key=_way))


def _way(group: tuple[str, list[StepRow]]) -> tuple[object, ...]:
    """What two groups have in common that may share their lines; one without any stands alone."""
    head, rows = group
    return tuple((row.says, row.formula, row.source) for row in rows) or (head,)


def _block(groups: list[tuple[str, list[StepRow]]]) -> Block:
    first = groups[0][1]
    return Block(
        tuple(head for head, _ in groups),
        tuple(
            Line(row.says, row.formula, tuple(rows[index] for _, rows in groups), row.source, row.source_url)
            for index, row in enumerate(first)
        ),
    )


def _row(step: Step, plan: Plan) -> StepRow:
    words = figure_words(step.result, step.kind, plan.system) if step.si and step.kind else step.si
    source, url = source_of(plan, step.source)
    # Millimetres and kilowatts are SI by themselves; only other units are followed by it.
    si = "" if plan.system == "metric" or words == step.si else step.si
    return StepRow(step.says, step.formula, words, si, source, url)


def source_of(plan: Plan, source: Source | None) -> tuple[str, str]:
    """Return a source in words, and the address of the rule it is, "" where it is none."""
    if source is None:
        return "", ""
    return source_words(Limit(None, None, "", source)), rule_address(plan.rulebook, source)
