"""Where the flue lands between the ceiling members."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings


def _directions(workings: Workings) -> tuple[str, str, str]:
    """What towards and away from the wall mean, and how to say where the plumb point lies."""
    if workings.survey.member_direction == "front to back":
        return "to the left", "to the right", "wall on the left"
    return "back, towards the wall behind it", "forward, away from the wall behind it", "wall behind"


def position(workings: Workings, say: Wording) -> Finding:
    """Say whether the support box stands in the bay the flue lands in, and how far to move if not."""
    opening, clear, fit = workings.opening, workings.bay_clear, workings.bay_fit
    if opening is None or clear is None:
        return Finding("position", Outcome.UNKNOWN, "Whether the box fits between the members is not known.")
    if opening > clear + EQUAL_WITHIN:
        return Finding(
            "position",
            Outcome.FAIL,
            f"The {say.least(opening)} box does not fit the {say.most(clear)} bay. Do not cut a member "
            "for it: choose a narrower support, or have the framing designed.",
            clear - opening,
        )
    if workings.before_first_member:
        return Finding(
            "position",
            Outcome.FAIL if workings.nearest or workings.walls_too_close else Outcome.UNKNOWN,
            f"The flue lands before the first member counted from the {_directions(workings)[2]}, where "
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


def _landing(workings: Workings, say: Wording, clear: float, opening: float) -> Finding:
    offset = workings.plumb_offset or 0.0
    spare = (clear - opening) / 2
    where = (
        "The flue lands on the bay's centre"
        if abs(offset) <= EQUAL_WITHIN
        else f"The flue lands {say.length(abs(offset))} off the bay's centre"
    )
    if workings.bay_fit is not None and workings.bay_fit.fits:
        fits = f"{where}; the {say.least(opening)} box has {say.most(spare)} to spare each side"
        if workings.nearest is None and not workings.walls_too_close:
            stay = "" if workings.must_move else ": leave the appliance where it is"
            return Finding("position", Outcome.PASS, f"{fits}{stay}.", spare - abs(offset))
        return Finding(
            "position",
            Outcome.FAIL,
            f"{fits}, but the appliance does not keep its clearances there. {_move(workings, say)}".strip(),
            spare - abs(offset),
        )
    return Finding(
        "position",
        Outcome.FAIL,
        f"{where}, and the {say.least(opening)} box has only {say.most(spare)} to spare each side. "
        f"{_move(workings, say)}".strip(),
        spare - abs(offset),
    )


def _move(workings: Workings, say: Wording) -> str:
    nearest = workings.nearest
    towards, away, _ = _directions(workings)
    if workings.walls_too_close:
        return (
            "Wherever it stands, the appliance loses a clearance: choose another place or protect the wall."
        )
    if nearest is None:
        return "No move is known that keeps the appliance's clearances: measure the space around it."
    if nearest.best is None:
        return (
            "No position within the clearances lands the box in a bay: change the wall protection or the "
            "place, or offset the connector below the ceiling."
        )
    options = [one for one in (nearest.towards_wall, nearest.away_from_wall) if one is not None]
    options.sort(key=lambda one: abs(one.move))
    words = [
        f"{say.least(abs(one.move))} {towards if one.move < 0 else away}"
        for one in options
        if abs(one.move) > EQUAL_WITHIN
    ]
    if not words:
        return ""
    other = f" (or {words[1]})" if len(words) > 1 else ""
    known = "" if workings.room_known else " Whether it keeps its clearances there is not known."
    return (
        f"Move the appliance {words[0]}{other}: the box then stands clear in its bay.{known} "
        "Survey it again from there: the roof above changes with the place."
    )


def truss(workings: Workings, say: Wording) -> Finding | None:
    """Remind that a truss is never cut, and whether the box leaves it alone."""
    if workings.survey.member_kind != "truss":
        return None
    rule = workings.rulebook.find("framing.truss")
    sentence = rule.as_printed if rule else "A truss is never cut without its designer."
    if workings.opening is None or workings.bay_clear is None:
        return Finding("truss", Outcome.UNKNOWN, sentence)
    room = workings.bay_clear - workings.opening
    outcome = Outcome.PASS if room >= -EQUAL_WITHIN else Outcome.FAIL
    clear = "The box stands between the trusses; none is touched. " if outcome is Outcome.PASS else ""
    return Finding("truss", outcome, f"{clear}{sentence}", room)
