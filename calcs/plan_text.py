"""A plan as plain text, for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from calcs.checks import Check, Limit, Source
from calcs.plan import Plan
from calcs.steps import Step
from calcs.units import format_quantity

_WIDTH = 100
_KINDS = {
    "m": "length", "m2": "area", "Pa": "draft", "degC": "temperature", "W": "power", "kg/s": "mass flow",
    "m2K/W": "thermal resistance", "count": "count", "1": "percent",
}  # fmt: skip


def plan_text(plan: Plan) -> Iterator[str]:
    """A plan line by line: verdict, what is not known, findings, what to measure again, limits, lists.

    Parameters
    ----------
    plan : Plan
        The plan [-]

    Returns
    -------
    Iterator of str
        The lines [-]

    Examples
    --------
    >>> from calcs.plan import make_plan
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> next(plan_text(make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))))
    'Verdict: unknown (rule book us, edition 2025-1)'
    """
    yield f"Verdict: {plan.verdict} (rule book {plan.rulebook}, edition {plan.edition})"
    yield from _part("Not known", (f"- {sentence}" for sentence in plan.unknowns))
    yield from _part("Findings", _findings(plan))
    yield from _part("Measure again", (f"- {doubt.sentence}" for doubt in plan.doubts))
    yield from _part("Survey against limits", (_check(check, plan.system) for check in plan.checks))
    yield from _part(
        "Limits", (_limit(name, limit, plan.system) for name, limit in sorted(plan.limits.items()))
    )
    yield from _part("Cut list", (
        f"{cut.count} x {cut.name}, {cut.stock}, {_words(cut.length, 'length', plan.system)}"
        for cut in plan.cut_list
    ))  # fmt: skip
    yield from _part("Load list", (
        f"{item.quantity:g} {item.unit} {item.name}{f' ({item.note})' if item.note else ''}"
        for item in plan.load_list
    ))  # fmt: skip
    for topic, steps in plan.working.items():
        yield from _part(f"How it was reckoned: {topic}", step_lines(steps, plan.system))


def step_lines(steps: Iterable[Step], system: str) -> Iterator[str]:
    """A working line by line.

    Parameters
    ----------
    steps : Iterable of Step
        The steps [-]
    system : str
        imperial | metric [-]

    Returns
    -------
    Iterator of str
        One line for each step [-]

    Examples
    --------
    >>> list(step_lines([Step("the hole", "D + 2 c", "B", 0.3556, "m", "length")], "imperial"))
    ['the hole: B = D + 2 c = 14 in (0.3556 m)']
    """
    for step in steps:
        reckoned = [step.formula] if step.formula else []
        if step.result is not None:
            reckoned.append(_result(step, system))
        source = f" [{_source(step.source)}]" if step.source else ""
        yield f"{step.says}: {' = '.join(reckoned)}{source}" if reckoned else f"{step.says}{source}"


def _part(title: str, lines: Iterable[str]) -> Iterator[str]:
    written = list(lines)
    if written:
        yield from ("", title, "-" * len(title))
        for line in written:
            yield from textwrap.wrap(line, _WIDTH, subsequent_indent="    ", break_on_hyphens=False)


def _findings(plan: Plan) -> Iterator[str]:
    for one in plan.findings:
        answered = f" Answered by: {one.answered_by}." if one.answered_by else ""
        yield f"[{one.outcome}] {one.topic}: {one.sentence}{answered}"


def _check(check: Check, system: str) -> str:
    kind = _kind(check.limit, check.name)
    measured = "not known" if check.measured is None else _words(check.measured, kind, system)
    return f"[{check.outcome}] {check.name}: {measured}, {_bounds(check.limit, kind, system)}"


def _limit(name: str, limit: Limit, system: str) -> str:
    return f"{name}: {_bounds(limit, _kind(limit, name), system)} [{_source(limit.source)}]"


def _kind(limit: Limit | None, name: str) -> str:
    if name == "connector.slope":
        return "slope"
    return _KINDS.get(limit.unit, "") if limit else ""


def _bounds(limit: Limit | None, kind: str, system: str) -> str:
    if limit is None:
        return "limit not known"
    least = None if limit.minimum is None else _words(limit.minimum, kind, system, "up")
    most = None if limit.maximum is None else _words(limit.maximum, kind, system, "down")
    bounds = [f"{word} {figure}" for word, figure in (("at least", least), ("at most", most)) if figure]
    return " and ".join(bounds) or "no bound"


def _words(value: float, kind: str, system: str, rounding: str = "nearest") -> str:
    return format_quantity(float(value), kind, system, rounding=rounding) if kind else f"{value:g}"


def _result(step: Step, system: str) -> str:
    if not step.kind or step.result is None:
        return step.si
    words = _words(step.result, step.kind, system)
    return words if words == step.si else f"{words} ({step.si})"


def _source(source: Source) -> str:
    parts = [source.reference or str(source.kind), source.edition]
    return f"{', '.join(part for part in parts if part)}; {source.provenance}"
