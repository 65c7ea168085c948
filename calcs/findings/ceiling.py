"""Where the flue lands between the ceiling members."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.corner import diagonal_move
from calcs.findings.finding import Finding
from calcs.framing import NearestFit, Position
from calcs.ways import ways_of
from calcs.wording import Wording
from calcs.workings import Workings

_OTHER_SUPPORT = "Take a narrower support, or have the framing designed."


def position(workings: Workings, say: Wording) -> Finding:
    """Say whether the support box stands in the bay the flue lands in, and how far to move if not."""
    opening, clear, fit = workings.opening, workings.bay_clear, workings.bay_fit
    if opening is None or clear is None:
        return Finding("position", Outcome.UNKNOWN, "Whether the box fits between the members is not known.")
    if opening > clear + EQUAL_WITHIN:
        return _too_wide(workings, say, opening, clear)
    if workings.before_first_member:
        return Finding(
            "position",
            Outcome.FAIL if workings.nearest or workings.walls_too_close else Outcome.UNKNOWN,
            f"The flue lands before the first member counted from the {ways_of(workings.survey).wall}, where "
            f"nothing is known to hold the box. {_move(workings, say)}".strip(),
        )
    if fit is None or workings.plumb_offset is None:
        spare = (clear - opening) / 2
        return Finding(
            "position",
            Outcome.UNKNOWN,
            f"The {say.least(opening)} box fits the {say.length(clear)} bay with {say.most(spare)} to spare "
            "each side; where the flue lands is not known.",
            spare,
        )
    return _landing(workings, say, clear, opening)


def _too_wide(workings: Workings, say: Wording, opening: float, clear: float) -> Finding:
    box = f"The {say.least(opening)} box does not fit the {say.most(clear)} bay"
    if workings.survey.member_kind == "truss":
        words = (
            f"{box} between two trusses. Do not cut a member for it: a truss is never cut. Take a narrower "
            "support, or move the appliance, or carry the flue over with elbows, to where two trusses stand "
            f"at least {say.least(opening)} apart in the clear."
        )
    elif workings.rulebook.find("framing.single_header_span") is None:
        words = (
            f"{box}. Do not cut a member for it: the rule book holds no rule for heading off a joist. "
            f"{_OTHER_SUPPORT}"
        )
    else:
        words = f"{box}, not even with one joist cut. Do not cut a member for it. {_OTHER_SUPPORT}"
    return Finding("position", Outcome.FAIL, words, clear - opening)


def _landing(workings: Workings, say: Wording, clear: float, opening: float) -> Finding:
    offset = workings.plumb_offset or 0.0
    spare = (clear - opening) / 2
    middle = "the joist that is cut" if workings.members_cut else "the bay's centre"
    off = say.length(abs(offset))
    where = f"The flue lands on {middle}" if off == say.length(0.0) else f"The flue lands {off} off {middle}"
    room = spare - abs(offset)
    if workings.bay_fit is None or not workings.bay_fit.fits:
        tight = f"{where}, and the {say.least(opening)} box has only {say.most(spare)} to spare each side."
        words = f"{tight} {_move(workings, say)}"
        return Finding("position", Outcome.FAIL, f"{_one_cut(workings, say)}{words}".strip(), room)
    fits = f"{where}; the {say.least(opening)} box has {say.most(spare)} to spare each side"
    if workings.nearest is not None or workings.walls_too_close:
        words = f"{fits}, but the appliance does not keep its clearances there. {_move(workings, say)}"
        return Finding("position", Outcome.FAIL, f"{_one_cut(workings, say)}{words}".strip(), room)
    stay = "" if workings.must_move else ": leave the appliance where it is"
    if workings.members_cut:
        return Finding("position", Outcome.FAIL, f"{_one_cut(workings, say)}{fits}{stay}.", room, "framing")
    return Finding("position", Outcome.PASS, f"{fits}{stay}.", room)


def _one_cut(workings: Workings, say: Wording) -> str:
    """Say that no bay holds the box as the members lie, and what is taken instead."""
    survey = workings.survey
    if not workings.members_cut or survey.member_spacing is None or survey.member_thickness is None:
        return ""
    between = say.most(survey.member_spacing - survey.member_thickness)
    return f"The box does not fit the {between} between two joists: one joist is cut and headed off for it. "


def _move(workings: Workings, say: Wording) -> str:
    nearest = workings.nearest
    if workings.walls_too_close:
        return (
            "Wherever it stands, the appliance loses a clearance: choose another place or protect the wall."
        )
    if nearest is None:
        return "No move is known that keeps the appliance's clearances: measure the space around it."
    if nearest.best is None:
        elbows = "carry the flue over with elbows below the ceiling"
        return (
            "No position within the clearances lands the box in a bay: change the wall protection or the "
            f"place, or {elbows}."
        )
    words = _options(workings, say, nearest)
    if not words:
        return ""
    other = f" (or {words[1]})" if len(words) > 1 else ""
    told = (
        f"Move the appliance {words[0]}{other}: the box then stands clear in its bay.",
        _slid(workings, say, nearest),
        _closed(workings, nearest),
        "" if workings.room_known else "Whether it keeps its clearances there is not known.",
        "Survey it again from there: the roof above changes with the place.",
    )
    return " ".join(part for part in told if part)


def _options(workings: Workings, say: Wording, nearest: NearestFit) -> list[str]:
    """Both ways the appliance may move, the shorter first."""
    found = [one for one in (nearest.towards_wall, nearest.away_from_wall) if one is not None]
    found.sort(key=lambda one: abs(one.move))
    return [_one_move(workings, say, one) for one in found if abs(one.move) > EQUAL_WITHIN]


def _one_move(workings: Workings, say: Wording, found: Position) -> str:
    ways = ways_of(workings.survey)
    way = ways.near if found.move < 0 else ways.far
    if workings.survey.placement == "corner":
        return f"{say.least(abs(diagonal_move(found.move)))} {way} along the diagonal"
    if workings.survey.member_direction == "side to side":
        way = (
            "back, towards the wall behind it" if found.move < 0 else "forward, away from the wall behind it"
        )
    return f"{say.least(abs(found.move))} {way}"


def _slid(workings: Workings, say: Wording, nearest: NearestFit) -> str:
    """Say what a move along one wall of a corner does instead of one along the diagonal."""
    if workings.survey.placement != "corner" or nearest.best is None or (workings.room[0] or 0.0) < 0:
        return ""
    move = nearest.best.move
    way = "towards" if move < 0 else "away from"
    return (
        f"Slid along the other wall instead, it moves {say.least(abs(move))} {way} the wall the members run "
        "along."
    )


def _closed(workings: Workings, nearest: NearestFit) -> str:
    """Say which way no place is left."""
    ways = ways_of(workings.survey)
    for one, way in ((nearest.towards_wall, ways.near), (nearest.away_from_wall, ways.far)):
        if one is None:
            side = f"{way[0].upper()}{way[1:]}" if " " in way else f"Further {way}"
            return f"{side} there is no bay within the clearances."
    return ""
