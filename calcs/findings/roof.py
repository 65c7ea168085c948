"""The hole in the roof and the height above it."""

from __future__ import annotations

from calcs.attic import over_the_hip, over_the_top, room_on_slope
from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.routes import THROUGH_WALL
from calcs.routes.wall_plan import edge_demand
from calcs.termination import Termination
from calcs.wording import Wording
from calcs.workings import Workings

_RAFTERS = "Look where the rafters lie first; a truss is never cut."


def roof_opening(workings: Workings, say: Wording) -> Finding | None:
    """Give the size of the hole in the roof."""
    hole, rise = workings.roof_opening, workings.levels.rise
    if hole is None or rise is None:
        return None
    over = over_the_top(workings)
    if over is not None:
        return Finding("roof opening", Outcome.FAIL, over_top_words(workings, say, over), -over)
    hip = over_the_hip(workings)
    if hip is not None:
        return Finding("roof opening", Outcome.FAIL, over_hip_words(say, hip), -hip)
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
        f"{say.least(along - down)} up. {_rafters(workings, say)}",
        room_on_slope(workings),
    )


def _rafters(workings: Workings, say: Wording) -> str:
    """Say when a rafter is headed off, and how far apart the headers stand."""
    way, hole = workings.roof_passage, workings.roof_opening
    if way is None or hole is None:
        return _RAFTERS
    told = f"{say.least(way.between_plumb_headers)} clear along the slope where headers stand plumb"
    if workings.survey.rafter_depth:
        told += f", {say.least(way.between_square_headers)} where they stand square to the rafters"
    return f"{_RAFTERS} One within {say.least(hole.across / 2)} of the plumb point is headed off: {told}."


def over_hip_words(say: Wording, over: float) -> str:
    """Say what an opening that reaches over a hip asks for.

    Parameters
    ----------
    say : Wording
        Units to write in
    over : float
        How far it has to move along the ridge [m]

    Returns
    -------
    str
        Sentences
    """
    return (
        "The opening reaches over the hip, where no flashing for one slope sits. Move the flue at least "
        f"{say.least(over)} along the ridge, away from the hipped end, or have the roof planned by hand."
    )


def over_top_words(workings: Workings, say: Wording, over: float) -> str:
    """Say what an opening that reaches over the roof's top asks for.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in
    over : float
        How far it reaches over ridge or upper edge [m]

    Returns
    -------
    str
        Sentences
    """
    if workings.survey.roof_shape in ("gable", "hip"):
        return (
            f"The opening reaches {say.least(over)} over the ridge, where no flashing for one slope sits. "
            f"Move the flue at least {say.least(over)} down the slope, or have the roof planned by hand."
        )
    return (
        f"The opening reaches {say.least(over)} beyond the roof's upper edge. Move the flue at least "
        f"{say.least(over)} down the slope."
    )


def termination(workings: Workings, say: Wording) -> Finding:
    """Say how high the outlet stands and what governs it; `room` is what the sections stand above that."""
    found, plan = workings.termination, workings.sections
    if found is None:
        return Finding(
            "termination", Outcome.UNKNOWN, "How far the outlet stands above the roof is not known."
        )
    height = say.height(found.height_above_penetration, "up")
    if workings.survey.route == THROUGH_WALL:
        return _above_edge(workings, say, found)
    return Finding(
        "termination",
        Outcome.PASS,
        f"The outlet stands at least {height} above the highest point where the chimney passes the roof; "
        f"{found.governed_by} governs ({found.source.reference}).{_sum(found, say)}{_hip(workings)}",
        plan.over_run if plan and plan.pieces else None,
    )


def _above_edge(workings: Workings, say: Wording, found: Termination) -> Finding:
    """Say how high the outlet of a chimney outdoors stands above the roof's edge beside it."""
    edge, required, plan = workings.survey.roof_edge_height, workings.outlet_required, workings.sections
    if edge is None or required is None:
        words = "How far the outlet stands above the roof's edge is not known."
        return Finding("termination", Outcome.UNKNOWN, words)
    above, surface = edge_demand(workings), workings.levels.roof or 0.0
    by_edge = above is not None and above > surface + found.height_above_centre + EQUAL_WITHIN
    governs = "the height over the edge" if by_edge else found.governed_by
    return Finding(
        "termination",
        Outcome.PASS,
        f"The outlet stands at least {say.height(required - edge, 'up')} above the roof's edge beside the "
        f"chimney; {governs} governs ({found.source.reference}). The roof counts as if it went on to the "
        "chimney.",
        plan.over_run if plan and plan.pieces else None,
    )


def _sum(found: Termination, say: Wording) -> str:
    """The governing demand's own sum, where it stands over something higher than the passage."""
    demand = found.governing
    if demand.top is None or demand.over is None or demand.top <= EQUAL_WITHIN or demand.over <= 0:
        return ""
    return (
        f" It rises {say.length(demand.top, 'up')} above that point, with {say.length(demand.over)} over it."
    )


def _hip(workings: Workings) -> str:
    """Say what a hip roof is reckoned by."""
    survey = workings.survey
    if survey.roof_shape != "hip":
        return ""
    if survey.eaves_distance is None or survey.hip_distance is None:
        return (
            " The hip roof is reckoned as a gable, which never asks for less; with the distances to the "
            "eaves below and to those of the hipped end it is reckoned as it stands."
        )
    return " The hipped end is taken at the slope of the other sides."
