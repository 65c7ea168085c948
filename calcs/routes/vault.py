"""A support box through a vaulted ceiling: its height, and the framing along the slope."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from calcs.checks import EQUAL_WITHIN, Limit, Source, SourceKind
from calcs.roof import check_not_negative, check_pitch, check_positive, roof_opening, roof_passage
from calcs.sheets import chimney_source
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings

_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "plane geometry")
#: Ceiling and roof are one slope where their rises in 12 differ by no more than a level shows [-].
SAME_SLOPE = 0.25


def box_height(
    opening: float, pitch_degrees: float, thickness: float, projection: float, above_deck: float = 0.0
) -> float:
    """Least height of a square box that stands plumb in a sloping ceiling under a roof of the same slope.

    Parameters
    ----------
    opening : float
        Side of the box, level [m]
    pitch_degrees : float
        Slope of ceiling and roof [degrees]
    thickness : float
        From the ceiling's face to the deck's upper face, square to the slope [m]
    projection : float
        Box below the ceiling on its low side [m]
    above_deck : float
        Box above the deck on its high side [m]

    Returns
    -------
    float
        Height of the box, from its lower edge to its highest corner [m]

    Raises
    ------
    ValueError
        A length is negative, the side or the thickness is not above zero, or the pitch is outside 0 to 80
        degrees.

    Notes
    -----
    The ceiling is lowest on the downhill side and the deck highest uphill, so the slope takes the whole side
    of the box times the tangent of the pitch. Ceiling and roof have to be parallel.

    Examples
    --------
    A 14 in box, 6/12, 6 1/2 in from ceiling to deck, 3 in below the ceiling: 3 + 6.5 x 1.118 + 14 x 0.5 in.

    >>> round(box_height(14, 26.565051, 6.5, 3), 3)
    17.267

    References
    ----------
    Plane geometry.
    """
    check_positive("opening", opening)
    check_positive("thickness", thickness)
    check_not_negative("projection", projection)
    check_not_negative("above_deck", above_deck)
    check_pitch(pitch_degrees)
    angle = math.radians(pitch_degrees)
    return projection + thickness / math.cos(angle) + opening * math.tan(angle) + above_deck


def slopes_differ(workings: Workings) -> float | None:
    """How much the ceiling's slope differs from the roof's.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Roof less ceiling, as rise in 12; 0 where they are one slope, None where either is not known [-]
    """
    ceiling, roof = workings.survey.ceiling_rise, workings.levels.rise
    if ceiling is None or roof is None:
        return None
    return 0.0 if abs(roof - ceiling) <= SAME_SLOPE else roof - ceiling


def box_thickness(workings: Workings) -> float | None:
    """From the ceiling's face to the deck's upper face, square to the slope.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Thickness [m]; None where a part of it is not known
    """
    survey = workings.survey
    parts = (survey.ceiling_thickness, survey.member_depth, survey.deck_thickness)
    known = [part for part in parts if part is not None]
    return math.fsum(known) if len(known) == len(parts) else None


def frame_slope(workings: Workings) -> None:
    """Size the box and the headers' distance up the slope.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `box_height`, `attic_protection` and the steps of the box
    """
    workings.attic_protection = "none"
    workings.known(
        "size the support box",
        "survey.ceiling_rise", "survey.ceiling_thickness", "survey.member_depth", "survey.deck_thickness",
        "chimney.box_projection", "chimney.box_above_deck",
    )  # fmt: skip
    workings.known("see whether the support box is tall enough", "chimney.box_height")
    if workings.levels.pitch_degrees is None:
        workings.missing.add("survey.roof_rise", "size the support box")
    opening, pitch, thick = workings.opening, workings.levels.pitch_degrees, box_thickness(workings)
    below, above = workings.chimney.box_projection, workings.chimney.box_above_deck
    if opening is None or pitch is None or not thick or below is None or above is None:
        return
    if slopes_differ(workings) != 0.0:
        return
    workings.box_height = box_height(opening, pitch, thick, below, above)
    workings.working["support box"] = _box_steps(workings, thick)


def stretch_blocks(workings: Workings) -> None:
    """Lengthen the blocks to the distance of the headers up the slope; without it nothing is cut.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `cut_list`
    """
    along = between_headers(workings)
    if along is None:
        workings.cut_list = ()
        return
    workings.cut_list = tuple(
        replace(one, length=along) if one.name == "block" else one for one in workings.cut_list
    )


def between_headers(workings: Workings) -> float | None:
    """Clear length between headers square to the rafters, up the slope.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Length along the slope [m]; None where slope, rafters or box are not known
    """
    opening, pitch = workings.opening, workings.levels.pitch_degrees
    depth, deck = workings.survey.member_depth, workings.survey.deck_thickness or 0.0
    if opening is None or pitch is None or depth is None:
        return None
    return roof_passage(opening, 0.0, pitch, deck, depth).between_square_headers


def open_slope(workings: Workings) -> None:
    """Size the hole that the box needs through the deck.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `roof_opening`, `roof_passage` and their steps
    """
    survey, opening, pitch = workings.survey, workings.opening, workings.levels.pitch_degrees
    if pitch is None or opening is None:
        return
    deck, depth = survey.deck_thickness or 0.0, survey.member_depth or 0.0
    workings.roof_opening = roof_opening(opening, 0.0, pitch, deck)
    workings.roof_passage = roof_passage(opening, 0.0, pitch, deck, depth)
    workings.working["roof opening"] = _hole_steps(workings)


def vault_limits(workings: Workings) -> dict[str, Limit]:
    """What box, framing and rafter space have to keep.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives what is missing

    Returns
    -------
    dict of str to Limit
        box.height, box.above_deck, support.projection, framing.opening_along, rafter.vent_space [m]
    """
    chimney, sheet = workings.chimney, chimney_source(workings.chimney)
    limits: dict[str, Limit] = {}
    if workings.box_height is not None:
        limits["box.height"] = Limit(workings.box_height, None, "m", _GEOMETRY)
    if chimney.box_above_deck is not None:
        limits["box.above_deck"] = Limit(chimney.box_above_deck, None, "m", sheet)
    if chimney.box_projection is not None:
        limits["support.projection"] = Limit(chimney.box_projection, None, "m", sheet)
    along = between_headers(workings)
    if along is not None:
        limits["framing.opening_along"] = Limit(along, None, "m", _GEOMETRY)
    asked = workings.rulebook.limit("vault.vent_space")
    if not workings.survey.rafter_vented:
        workings.missing.add("survey.rafter_vented", "see whether the rafter space needs its air")
    if asked is not None and workings.survey.rafter_vented != "unvented":
        limits["rafter.vent_space"] = asked
    return limits


def rafter_drop(workings: Workings) -> float | None:
    """How far the ceiling falls from the flue's centre to the box's low side.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height [m]; None where box or slope is not known
    """
    if workings.opening is None or workings.levels.slope is None:
        return None
    return workings.opening / 2 * workings.levels.slope


def box_room(workings: Workings) -> float | None:
    """What the box of the sheet is taller than it has to be.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height, negative where it is too short [m]; None where either is not known
    """
    needed, tall = workings.box_height, workings.chimney.box_height
    if needed is None or tall is None:
        return None
    room = tall - needed
    return 0.0 if abs(room) <= EQUAL_WITHIN else room


def _length(
    says: str, result: float | None, relation: str = "", symbol: str = "", source: Source | None = None
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _box_steps(workings: Workings, thick: float) -> tuple[Step, ...]:
    survey, chimney, sheet = workings.survey, workings.chimney, chimney_source(workings.chimney)
    return (
        _length("Side of the box, level", workings.opening, "", "o"),
        Step("Slope of ceiling and roof", "atan(rise / 12)", "α", workings.levels.pitch_degrees, "deg"),
        _length("Thickness of the ceiling finish", survey.ceiling_thickness, "", "t_c"),
        _length("Depth of the rafters", survey.member_depth, "", "d"),
        _length("Thickness of the deck", survey.deck_thickness, "", "t_d"),
        _length("Ceiling to deck, square to the slope", thick, "t_c + d + t_d", "t", _GEOMETRY),
        _length("Box below the ceiling on the low side", chimney.box_projection, "", "p", sheet),
        _length("Box above the deck on the high side", chimney.box_above_deck, "", "a", sheet),
        _length(
            "Least height of the box", workings.box_height, "p + t / cos α + o tan α + a", "h", _GEOMETRY,
        ),
        _length("Height of the box by its sheet", chimney.box_height, "", "", sheet),
        _length(
            "Clear between headers square to the rafters, up the slope",
            between_headers(workings), "o / cos α + d tan α", "", _GEOMETRY,
        ),
    )  # fmt: skip


def _hole_steps(workings: Workings) -> tuple[Step, ...]:
    hole, survey = workings.roof_opening, workings.survey
    if hole is None:
        return ()
    steps = [
        _length("Across the slope: the side of the box", hole.across, "", "o"),
        Step("Pitch of the roof", "atan(rise / 12)", "α", workings.levels.pitch_degrees, "deg"),
        _length("Along the slope, edges cut plumb", hole.along_plumb_cut, "o / cos α", "l", _GEOMETRY),
    ]
    if survey.deck_thickness is not None:
        steps += [
            _length("Thickness of the deck", survey.deck_thickness, "", "t"),
            _length("Along the slope, edges cut square to the deck", hole.along_square_cut, "l + t tan α"),
        ]
    return tuple(steps)
