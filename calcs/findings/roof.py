"""The hole in the roof, the height above it and the sections that reach it."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings, over_the_top

_RAFTERS = "Look where the rafters lie first; a truss is never cut."


def roof_opening(workings: Workings, say: Wording) -> Finding | None:
    """Give the size of the hole in the roof."""
    hole, rise = workings.roof_opening, workings.levels.rise
    if hole is None or rise is None:
        return None
    over = over_the_top(workings)
    if over is not None:
        return Finding("roof opening", Outcome.FAIL, _over(workings, say, over), -over)
    across = f"Cut the roof {say.least(hole.across)}"
    if rise == 0:
        return Finding("roof opening", Outcome.PASS, f"{across} square. {_RAFTERS}")
    if workings.survey.deck_thickness is None:
        return Finding(
            "roof opening",
            Outcome.UNKNOWN,
            f"{across} across the slope and more than {say.least(hole.along_plumb_cut)} along it "
            f"({say.pitch(rise)}): how much more is not known without the thickness of the deck.",
        )
    along, down = hole.along_square_cut, hole.along_plumb_cut / 2
    return Finding(
        "roof opening",
        Outcome.PASS,
        f"{across} across the slope and {say.least(along)} along it ({say.pitch(rise)}), edges square to the "
        f"deck; on its underside that is {say.least(down)} down the slope from the plumb point and "
        f"{say.least(along - down)} up. {_RAFTERS}",
    )


def _over(workings: Workings, say: Wording, over: float) -> str:
    """Say what an opening that reaches over the roof's top asks for."""
    if workings.survey.roof_shape == "gable":
        return (
            f"The opening reaches {say.least(over)} over the ridge, where no flashing for one slope sits. "
            f"Move the flue at least {say.least(over)} down the slope, or have the roof planned by hand."
        )
    return (
        f"The opening reaches {say.least(over)} beyond the roof's upper edge. Move the flue at least "
        f"{say.least(over)} down the slope."
    )


def termination(workings: Workings, say: Wording) -> Finding:
    """Say how high the outlet stands and what governs it."""
    found = workings.termination
    if found is None:
        return Finding(
            "termination", Outcome.UNKNOWN, "How far the outlet stands above the roof is not known."
        )
    height = say.height(found.height_above_penetration, "up")
    return Finding(
        "termination",
        Outcome.PASS,
        f"The outlet stands at least {height} above the highest point where the chimney passes the roof; "
        f"{found.governed_by} governs ({found.source.reference}).",
    )


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
        if covering and workings.survey.covering_thickness is None
        else ""
    )
    return Finding(
        "sections",
        Outcome.PASS,
        f"{stack} reach {say.height(plan.total, 'down')} above the support's lower end, "
        f"{say.most(plan.over_run)} more than needed; no joint lies in the ceiling or the roof.{allowed}",
        plan.over_run,
    )


def supported(workings: Workings, say: Wording) -> Finding | None:
    """Say whether the ceiling support carries the stack."""
    plan = workings.sections
    if plan is None or not plan.pieces:
        return None
    if plan.supported_margin is None or workings.chimney.supported_height is None:
        return Finding(
            "support", Outcome.UNKNOWN, "Whether the support carries the chimney's height is not known."
        )
    carries = say.height(workings.chimney.supported_height, "down")
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
    """Say whether the chimney needs a brace above the roof."""
    plan, outlet = workings.sections, workings.termination
    if outlet is None or outlet.brace_threshold is None:
        return None
    planned = outlet.height_above_downhill + (plan.over_run if plan and plan.pieces else 0.0)
    room = outlet.brace_threshold - planned
    limit = say.height(outlet.brace_threshold, "down")
    where = "above the roof on the downhill side" if workings.levels.slope else "above the roof"
    if room >= -EQUAL_WITHIN:
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
