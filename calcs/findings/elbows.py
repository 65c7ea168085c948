"""How elbows below the ceiling would land the box in a bay."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.elbow_way import ElbowWay
from calcs.findings.finding import Finding
from calcs.offsets import ElbowOffset, elbow_pairs
from calcs.ways import ways_of
from calcs.wording import Wording
from calcs.workings import Workings

_FIGURES = (
    "enter the rise and the run of a pair of 15° or 30° elbows from the chimney's sheet to see what it takes"
)


def offset(workings: Workings, say: Wording) -> Finding | None:
    """Say which elbows land the box in a bay while the appliance stays, and whether the height allows it."""
    way = workings.elbows
    if way is None:
        return None
    if way.towards_wall is None and way.away_from_wall is None:
        return Finding("offset", Outcome.FAIL, "No bay within reach of an offset holds the box.")
    if way.offset is None:
        return _without(workings, say, way)
    stays = _stays(workings, say, way)
    does = f"{stays} {_carry(workings, say, way, way.offset)}"
    left = way.height_left
    if short := _short(workings, say, way, way.offset):
        return Finding("offset", Outcome.FAIL, f"{does} {short}", left)
    if open_question := _open_question(workings, left):
        return Finding("offset", Outcome.UNKNOWN, f"{does} {open_question}", left)
    again = (
        f"To plan it so, survey the flue centre at {say.length(way.centre or 0.0)} from the "
        f"{ways_of(workings.survey).wall} and count two more elbows in the connector."
    )
    return Finding("offset", Outcome.PASS, f"{does} {again} {_attic(workings, say)}".strip(), left)


def _open_question(workings: Workings, left: float | None) -> str:
    """Say what has to be known before the offset can be counted on, "" for nothing."""
    if workings.rulebook.find("connector.elbow_angle") is None:
        return (
            "The rule book does not say how far a connector may bend: ask the authority having jurisdiction."
        )
    if left is None:
        return (
            "Whether the room has the height is not known: enter the heights of the collar and the ceiling."
        )
    return ""


def _without(workings: Workings, say: Wording, way: ElbowWay) -> Finding:
    ways = ways_of(workings.survey)
    needs = [
        f"{say.least(run)} {name}"
        for run, name in ((way.towards_wall, ways.pipe_near), (way.away_from_wall, ways.pipe_far))
        if run is not None
    ]
    stays = _stays(workings, say, way)
    run = f"{stays} it has to be carried over {' or '.join(needs)} below the ceiling"
    if not way.pairs_known:
        return Finding("offset", Outcome.UNKNOWN, f"{run}; {_FIGURES}.")
    return Finding("offset", Outcome.FAIL, f"{run}; every elbow pair of the sheet carries it too far.")


def _stays(workings: Workings, say: Wording, way: ElbowWay) -> str:
    """Begin the sentence: the appliance stays, or moves no further than its clearances ask."""
    moved = way.start - (workings.wall_to_centre or 0.0)
    if abs(moved) <= EQUAL_WITHIN:
        return "If the appliance stays where it is, the flue lands clear of the members only with elbows:"
    ways = ways_of(workings.survey)
    name = ways.far if moved > 0 else ways.near
    return (
        f"With the appliance moved {say.least(abs(moved))} {name}, as far as its clearances ask, the flue "
        "lands clear of the members only with elbows:"
    )


def _carry(workings: Workings, say: Wording, way: ElbowWay, found: ElbowOffset) -> str:
    ways = ways_of(workings.survey)
    name = ways.pipe_far if (way.centre or 0.0) > way.start else ways.pipe_near
    between = (
        "locked together"
        if found.between <= EQUAL_WITHIN
        else f"with {say.length(found.between)} of pipe between them"
    )
    room = "" if way.height is None else f" of the {say.most(way.height)} between collar and support"
    return (
        f"by the chimney's sheet two of {found.angle_degrees:g}° {between}, below the ceiling, carry it "
        f"{say.length(found.run)} {name} and take {say.least(found.rise)}{room}."
    )


def _short(workings: Workings, say: Wording, way: ElbowWay, found: ElbowOffset) -> str:
    left = way.height_left
    if left is not None and left < -EQUAL_WITHIN:
        return f"That is {say.least(-left)} more than there is: move the appliance instead."
    allowed = workings.rulebook.value("connector.elbows")
    counted = (workings.survey.connector_elbows or 0) + found.elbows
    if allowed is not None and counted > allowed:
        return f"With its own elbows the connector then has {counted}, more than the {allowed:g} it may have."
    return ""


def _attic(workings: Workings, say: Wording) -> str:
    """Say what only the attic shows: the rafters are not surveyed."""
    if workings.survey.member_kind == "truss":
        return "In the attic the trusses' webs and top chords lie over the members: a plumb flue clears them."
    least = min(elbow_pairs(workings.chimney), key=lambda pair: pair.run)
    return (
        "Where the rafters lie was not surveyed: look in the attic before the roof is cut. There "
        f"{least.angle_degrees:g}° chimney elbows pass a rafter with a run of {say.length(least.run)} in a "
        f"rise of {say.length(least.rise)}, or more with a section between them."
    )
