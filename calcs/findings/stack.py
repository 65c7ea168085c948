"""The sections that reach the outlet, what carries them and what holds them above the roof."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.routes import THROUGH_WALL
from calcs.sections import SectionPlan, braces_needed
from calcs.stack import carried_height, stands_free
from calcs.wording import Wording
from calcs.workings import Workings


def sections(workings: Workings, say: Wording) -> Finding:
    """Give the stack of sections and what it over-runs."""
    plan = workings.sections
    if plan is None:
        return Finding("sections", Outcome.UNKNOWN, "The sections cannot be chosen yet.")
    if not plan.pieces:
        return Finding("sections", Outcome.FAIL, plan.why)
    stack = " + ".join(f"{count} x {name}" for name, count in plan.counts().items())
    covering = workings.levels.covering
    allowed = (
        f" {say.length(covering)} of roof covering is allowed for."
        if covering and workings.survey.covering_thickness is None and workings.survey.route != THROUGH_WALL
        else ""
    )
    return Finding(
        "sections",
        Outcome.PASS,
        f"{stack} reach {say.height(plan.total, 'down')} above the support's lower end, "
        f"{say.most(plan.over_run)} more than needed; no joint lies in the ceiling or the roof."
        f"{_fewer(workings, plan, say)}{allowed}",
        plan.over_run,
    )


def _fewer(workings: Workings, plan: SectionPlan, say: Wording) -> str:
    """Tell what fewer pieces would over-run, where the support carries them and they need no more braces."""
    outlet, carries = workings.termination, carried_height(workings)
    words = []
    for one in plan.fewer:
        if carries is not None and one.total > carries + EQUAL_WITHIN:
            continue
        if outlet is not None and outlet.brace_threshold is not None and plan.braces is not None:
            free = (stands_free(workings) or 0.0) + one.over_run
            if braces_needed(free, outlet.brace_threshold) > plan.braces:
                continue
        stack = " + ".join(f"{count} x {name}" for name, count in one.counts().items())
        words.append(f"{say.least(one.over_run)} with {len(one.names)} ({stack})")
    return f" Fewer pieces over-run more: {', or '.join(words)}." if words else ""


def supported(workings: Workings, say: Wording) -> Finding | None:
    """Say whether the ceiling support carries the stack."""
    plan = workings.sections
    if plan is None or not plan.pieces:
        return None
    listed = carried_height(workings)
    if plan.supported_margin is None or listed is None:
        return Finding(
            "support", Outcome.UNKNOWN, "Whether the support carries the chimney's height is not known."
        )
    carries = say.height(listed, "down")
    outcome = Outcome.PASS if plan.supported_margin >= -EQUAL_WITHIN else Outcome.FAIL
    verb = "carries" if outcome is Outcome.PASS else "carries only"
    rest = "" if outcome is Outcome.PASS else " Add a support on the way up."
    return Finding(
        "support",
        outcome,
        f"The ceiling support {verb} {carries}; the chimney is {say.height(plan.total, 'up')}.{rest}",
        plan.supported_margin,
    )


def brace(workings: Workings, say: Wording) -> Finding | None:
    """Say whether the chimney needs a brace above the roof; `room` is what is left before one more does."""
    plan, outlet = workings.sections, workings.termination
    if outlet is None or outlet.brace_threshold is None:
        return None
    free = stands_free(workings)
    if free is None:
        return None
    planned = free + (plan.over_run if plan and plan.pieces else 0.0)
    room = (braces_needed(planned, outlet.brace_threshold) + 1) * outlet.brace_threshold - planned
    limit = say.height(outlet.brace_threshold, "down")
    where = "above the roof on the downhill side" if workings.levels.slope else "above the roof"
    if free != outlet.height_above_downhill:
        where = "above the uppermost wall bracket"
    if planned <= outlet.brace_threshold + EQUAL_WITHIN:
        return Finding(
            "brace",
            Outcome.PASS,
            f"{say.height(planned, 'up')} {where} stand without a brace (up to {limit}).",
            room,
        )
    count = plan.braces if plan and plan.braces else 1
    kits = "a brace kit" if count == 1 else f"{count} brace kits"
    return Finding(
        "brace",
        Outcome.PASS,
        f"{say.height(planned, 'up')} {where} are more than {limit}: load {kits} and find the rafters. "
        f"No more than {limit} may stand free above the highest brace.",
        room,
    )
