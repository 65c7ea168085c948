"""The hole in the roof, the height above it and the sections that reach it."""

from __future__ import annotations

from calcs.checks import Outcome
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
