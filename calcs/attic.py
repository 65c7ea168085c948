"""What keeps the insulation off the chimney under the roof: the shield, or an enclosure in its place."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.checks import EQUAL_WITHIN
from calcs.roof_steps import enclosure_steps, insulation_steps, shield_steps
from calcs.shield import enclosure_panels, shield_fit

if TYPE_CHECKING:
    from calcs.workings import Workings

_NOTHING_STANDS = "no shield and no enclosure can stand there. Move the flue up the slope."
#: Enclosure panels are cut from this unless the plan says otherwise: 1/2 in plywood.
PANEL_THICKNESS = 0.0127


def protect_attic(workings: Workings) -> None:
    """See whether the shield fits under the roof, and shape the enclosure where it does not.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `shield`, `enclosure`, `attic_protection` or `attic_refusal`
    """
    pitch = workings.levels.pitch_degrees
    heights = workings.known("see whether the shield fits under the roof", "survey.attic_height")
    if pitch is None:
        workings.missing.add("survey.roof_rise", "see whether the shield fits under the roof")
    if not heights or pitch is None or workings.opening is None:
        return
    (height,) = heights
    half_rise = workings.opening / 2 * math.tan(math.radians(pitch))
    if height <= 0 and not half_rise:
        workings.attic_refusal = (
            "The roof lies on the ceiling framing: there is no attic for a shield or an enclosure. Take the "
            "support the chimney's sheet lists for such a roof, and have this part planned by hand."
        )
        return
    if height <= 0 or height < half_rise:
        workings.attic_refusal = f"The roof meets the ceiling within the opening: {_NOTHING_STANDS}"
        return
    shields = workings.known("see whether the shield fits under the roof", "chimney.shield_height")
    if shields:
        workings.shield = shield_fit(shields[0], workings.opening, height, pitch)
        workings.working["attic shield"] = shield_steps(workings)
        if workings.shield.fits:
            workings.attic_protection = "shield"
            workings.working["insulation"] = insulation_steps(workings)
            return
        _enclose(workings, height - half_rise, height + half_rise)


def _enclose(workings: Workings, low: float, high: float) -> None:
    slope = workings.levels.slope or 0.0
    if workings.opening is None or low <= PANEL_THICKNESS * slope:
        workings.attic_refusal = f"There is no height left for a panel on the low side: {_NOTHING_STANDS}"
        return
    if over_the_top(workings) is not None or over_the_hip(workings) is not None:
        where = "ridge" if over_the_top(workings) is not None else "hip"
        workings.attic_refusal = (
            f"The shield does not fit, and an enclosure under the {where} has two slopes that are not "
            "planned here. Move the flue down the slope, or have it planned by hand."
        )
        return
    workings.enclosure = tuple(enclosure_panels(workings.opening, low, high, PANEL_THICKNESS))
    workings.attic_protection = "enclosure"
    workings.working["enclosure"] = enclosure_steps(workings)


def over_the_top(workings: Workings) -> float | None:
    """How far the opening reaches over the ridge or the roof's upper edge.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Level distance [m]; None where it stays on one slope or where that is not known
    """
    room = _room_to_top(workings)
    return -room if room is not None and room < -EQUAL_WITHIN else None


def _room_to_top(workings: Workings) -> float | None:
    distance, opening = workings.survey.ridge_distance, workings.opening
    if not workings.levels.slope or distance is None or opening is None:
        return None
    return distance - opening / 2


def over_the_hip(workings: Workings) -> float | None:
    """How far along the ridge the opening would have to move to stay off the hip.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Level distance [m]; None where it stays on one slope or where that is not known

    Notes
    -----
    Slopes of one pitch meet in plan at half a right angle, so the hip passes the flue as far along the ridge
    as the hipped end's eaves lie further away than those below; the opening's upper corner takes one half
    of its side along the ridge and the other up the slope.
    """
    room = _room_to_hip(workings)
    return -room if room is not None and room < -EQUAL_WITHIN else None


def _room_to_hip(workings: Workings) -> float | None:
    survey, opening = workings.survey, workings.opening
    if survey.roof_shape != "hip" or not workings.levels.slope or opening is None:
        return None
    if survey.eaves_distance is None or survey.hip_distance is None:
        return None
    return survey.hip_distance - survey.eaves_distance - opening


def room_on_slope(workings: Workings) -> float | None:
    """How much further the opening could reach before it leaves its slope.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Level distance, negative once it does [m]; None on a flat roof or where that is not known
    """
    rooms = (_room_to_top(workings), _room_to_hip(workings))
    return min((room for room in rooms if room is not None), default=None)
