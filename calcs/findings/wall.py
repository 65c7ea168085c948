"""The chimney through the wall: between the studs, the thimble, past the eaves, held on the wall."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.plan_limits import limits_of_thimble
from calcs.routes.wall import (
    OFFSET,
    STRAIGHT,
    THROUGH,
    eaves_offset,
    flue_from_wall,
    level_piece,
    past_eaves,
    standoff,
)
from calcs.wording import Wording
from calcs.workings import Workings

_AGAIN = "Look whether the appliance keeps its clearances there, and survey it again from there."


def position(workings: Workings, say: Wording) -> Finding:
    """Say whether the thimble's opening stands between two studs, and how far it moves if not."""
    opening, clear = workings.opening, workings.bay_clear
    if opening is None or clear is None:
        return Finding(
            "position", Outcome.UNKNOWN, "Whether the thimble fits between the studs is not known."
        )
    frame = f"The {say.least(opening)} opening of the thimble"
    spare = (clear - opening) / 2
    if spare < -EQUAL_WITHIN:
        words = f"{frame} does not fit the {say.most(clear)} between two studs, not even with one stud cut."
        return Finding("position", Outcome.FAIL, f"{words} Have the framing designed.", 2 * spare)
    return _landing(workings, say, frame, spare)


def _landing(workings: Workings, say: Wording, frame: str, spare: float) -> Finding:
    fit, cut = workings.bay_fit, ""
    if workings.members_cut:
        cut = f"{frame} does not fit between two studs: one stud is cut and headed off for it. "
        frame = "The opening"
    if workings.before_first_member:
        words = f"{cut}The thimble lands before the first stud counted, where nothing is known to hold it."
        return Finding("position", Outcome.UNKNOWN, f"{words} Count the studs from the corner.")
    if fit is None or workings.plumb_offset is None:
        words = f"{cut}{frame} fits with {say.most(spare)} to spare each side; where it lands is not known."
        return Finding("position", Outcome.UNKNOWN, words, spare)
    room = spare - abs(workings.plumb_offset)
    if not fit.fits:
        return Finding(
            "position", Outcome.FAIL, f"{cut}{frame} lands on a stud. {_move(workings, say)}", room
        )
    words = f"{frame} stands clear between two studs, with {say.most(room)} to spare at the nearer."
    if cut:
        return Finding("position", Outcome.FAIL, f"{cut}{words}", room, "framing")
    return Finding("position", Outcome.PASS, words, room)


def _move(workings: Workings, say: Wording) -> str:
    nearest = workings.nearest
    found = [] if nearest is None else [nearest.towards_wall, nearest.away_from_wall]
    ways = [
        f"{say.least(abs(one.move))} {'to the left' if one.move < 0 else 'to the right'}"
        for one in sorted((one for one in found if one is not None), key=lambda one: abs(one.move))
    ]
    return f"Move thimble and appliance {', or '.join(ways)}. {_AGAIN}" if ways else "No place is known."


def framing(workings: Workings, say: Wording) -> Finding | None:
    """Describe how a stud is headed off, and ask what the wall carries."""
    if not workings.members_cut or workings.bay_clear is None:
        return None
    rule = workings.rulebook.find("wall.header")
    told = f" {rule.as_printed}" if rule is not None else ""
    span = say.length(workings.bay_clear)
    bears = workings.survey.wall_bears
    if bears == "no":
        return Finding(
            "framing",
            Outcome.PASS,
            f"Cut one stud and head it off: a header above the opening and a sill below it, each {span} "
            "long, between the studs on either side. The wall carries nothing; prop the stud before it is "
            "cut.",
        )
    if not bears:
        workings.missing.add("survey.wall_bears", "see how a stud may be headed off")
    what = "The wall carries load" if bears else "Whether the wall carries floor or roof is not known"
    return Finding(
        "framing",
        Outcome.UNKNOWN,
        f"{what}: the header over the {span} is sized for it before a stud is cut.{told}",
    )


def thimble(workings: Workings, say: Wording) -> Finding:
    """Say at which height the thimble has to lie, and whether it does."""
    topic, height, limit = "thimble", workings.survey.thimble_height, limits_of_thimble(workings)
    if limit is None or limit.minimum is None:
        words = "At which height the thimble may lie is not known."
        collar, ceiling = workings.levels.collar, workings.survey.floor_to_ceiling
        if None not in (collar, ceiling, workings.survey.connector_run):
            words = (
                "There is no height for the thimble: the connector cannot rise to it and keep its clearance "
                "under the ceiling. Take a listed connector with less clearance, or shield the ceiling."
            )
            known = workings.appliance.collar_diameter is not None
            return Finding(topic, Outcome.FAIL if known else Outcome.UNKNOWN, words)
        return Finding(topic, Outcome.UNKNOWN, words)
    if limit.maximum is None:
        return Finding(topic, Outcome.UNKNOWN, "How high the thimble may lie under the ceiling is not known.")
    between = (
        f"between {say.least(limit.minimum)}, where the connector still rises to it, and "
        f"{say.most(limit.maximum)}, where it keeps its clearance under the ceiling"
    )
    if height is None:
        return Finding(topic, Outcome.UNKNOWN, f"The thimble's centre lies {between}.")
    room = min(height - limit.minimum, limit.maximum - height)
    if room < -EQUAL_WITHIN:
        words = f"The thimble's centre, {say.length(height)} above the floor, has to lie {between}."
        return Finding(topic, Outcome.FAIL, words, room)
    inside = workings.chimney.thimble_projection
    stands = f" The chimney stands {say.least(inside)} into the room." if inside else ""
    words = f"The thimble's centre lies {say.length(height)} above the floor, {between}.{stands}"
    return Finding(topic, Outcome.PASS, words, room)


def wall_piece(workings: Workings, say: Wording) -> Finding:
    """Say which section leads through the wall."""
    long = level_piece(workings.survey, workings.chimney)
    branch = workings.chimney.tee_branch
    if long is None or branch is None or not workings.chimney.sections:
        return Finding("wall", Outcome.UNKNOWN, "Which section leads through the wall is not known.")
    asked = f"From the tee's branch through the wall it takes {say.least(max(0.0, long - branch))}"
    piece = workings.wall_piece
    if piece is None:
        words = f"{asked}, and no section of the sheet adds so much: list a longer one."
        return Finding("wall", Outcome.FAIL, words)
    room = piece.effective_length - (long - branch)
    return Finding(
        "wall", Outcome.PASS,
        f"{asked}: one {piece.name} section, whose joint lies outside the wall. The wall is not filled with "
        "insulation around it.", room,
    )  # fmt: skip


def eaves(workings: Workings, say: Wording) -> Finding:
    """Say how the chimney passes the eaves, and whether it keeps its clearance there."""
    survey, chimney, topic = workings.survey, workings.chimney, "eaves"
    stands, overhang = standoff(survey, chimney), survey.eaves_overhang
    clearance, outer = chimney.clearance, chimney.outer_diameter
    if stands is None or overhang is None or clearance is None or outer is None:
        return Finding(topic, Outcome.UNKNOWN, "How the chimney passes the eaves is not known.")
    if survey.eaves_way == THROUGH:
        return _through(workings, say, stands + outer + clearance - overhang)
    return _beside_eaves(workings, say, stands, past_eaves(overhang, clearance))


def _beside_eaves(workings: Workings, say: Wording, stands: float, clear: float) -> Finding:
    survey, topic, overhang = workings.survey, "eaves", workings.survey.eaves_overhang or 0.0
    if survey.eaves_way == STRAIGHT and _reach_unknown(workings, clear):
        words = f"To pass the eaves straight the chimney stands {say.least(clear)} off the wall; how far its"
        return Finding(topic, Outcome.UNKNOWN, f"{words} support reaches is not known.")
    if stands >= clear - EQUAL_WITHIN:
        words = (
            f"The chimney stands {say.length(stands)} off the wall and passes {say.most(stands - overhang)}"
        )
        return Finding(topic, Outcome.PASS, f"{words} clear of the eaves' edge.", stands - clear)
    short = say.least(clear - stands)
    if survey.eaves_way == STRAIGHT:
        words = (
            f"The support reaches {say.most(stands)} off the wall; {say.least(clear)} would clear the eaves, "
            f"{short} more. Offset the chimney below the eaves, or take it through them."
        )
        return Finding(topic, Outcome.FAIL, words, stands - clear)
    if survey.eaves_way == OFFSET:
        return _offset(workings, say, clear - stands)
    words = f"The eaves stand {short} too far out to pass them straight: choose an offset or the way through."
    return Finding(topic, Outcome.UNKNOWN, words, stands - clear)


def _reach_unknown(workings: Workings, clear: float) -> bool:
    """Whether it takes more than the least distance off the wall, and the sheet does not say how much."""
    chimney = workings.chimney
    least = max(chimney.wall_standoff or 0.0, chimney.clearance or 0.0)
    return chimney.wall_standoff_greatest is None and clear > least + EQUAL_WITHIN


def _through(workings: Workings, say: Wording, beyond: float) -> Finding:
    opening = (workings.chimney.outer_diameter or 0.0) + 2 * (workings.chimney.clearance or 0.0)
    how = (
        f"a hole {say.least(opening)} wide"
        if beyond < 0
        else f"a notch {say.least(opening)} wide in their edge"
    )
    truss = " A truss's tail is never cut." if workings.survey.member_kind == "truss" else ""
    return Finding(
        "eaves", Outcome.PASS,
        f"The chimney passes through the eaves: {how}, headed off between the rafters' tails, with a "
        f"firestop at the underside and a flashing on the roof; a gutter is stopped on either side.{truss}",
    )  # fmt: skip


def _offset(workings: Workings, say: Wording, least: float) -> Finding:
    survey, chimney = workings.survey, workings.chimney
    found = eaves_offset(survey, chimney)
    if found is None:
        known = survey.soffit_height is not None and survey.thimble_height is not None and chimney.tee_rise
        words = f"The chimney has to be carried {say.least(least)} out below the eaves"
        pairs = chimney.elbow_15_run is not None or chimney.elbow_30_run is not None
        if not known or not pairs:
            return Finding("eaves", Outcome.UNKNOWN, f"{words}; what that takes is not known.", -least)
        words = f"{words}, and no elbow pair of the sheet does that in the height between tee and eaves"
        return Finding("eaves", Outcome.FAIL, f"{words}: lower the thimble, or go through the eaves.", -least)
    most = workings.rulebook.value("chimney.elbows")
    if most is not None and found.elbows > most:
        return Finding("eaves", Outcome.FAIL, f"The offset takes {found.elbows} elbows; at most {most:g}.")
    centre = flue_from_wall(survey, chimney) or 0.0
    return Finding(
        "eaves", Outcome.PASS,
        f"{found.elbows} elbows of {found.angle_degrees:g}° carry the chimney {say.length(found.run)} out "
        f"over {say.length(found.rise)} of height, below the eaves: its centre then stands "
        f"{say.length(centre)} off the wall. Hold it right above the offset, with brackets that reach so "
        "far.", found.run - least,
    )  # fmt: skip


def brackets(workings: Workings, say: Wording) -> Finding:
    """Say where the wall brackets stand."""
    spacing, soffit = workings.chimney.bracket_spacing, workings.survey.soffit_height
    if spacing is None or soffit is None or workings.levels.first_joint is None:
        return Finding("brackets", Outcome.UNKNOWN, "Where the wall brackets stand is not known.")
    at = ", ".join(say.height(height) for height in workings.brackets)
    stand = f"Wall brackets at {at} above the floor" if at else "No wall bracket between tee and eaves"
    words = f"{stand}, no further apart than {say.most(spacing)}; each into solid framing."
    return Finding("brackets", Outcome.PASS, words)
