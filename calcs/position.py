"""Where the flue lands between the ceiling members, and where else the appliance may stand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.checks import EQUAL_WITHIN
from calcs.framing import bay_clear_width, cut_list, fit_in_bay, framed_opening, nearest_fit

if TYPE_CHECKING:
    from calcs.workings import Workings


def frame_opening(workings: Workings) -> None:
    """Size the framed opening and find where it lands between the members.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `opening`, `bay_clear`, `plumb_offset`, `bay_fit` and `cut_list`
    """
    listed = workings.known("size the framed opening", "chimney.outer_diameter", "chimney.clearance")
    if listed:
        workings.opening = framed_opening(listed[0], listed[1], workings.chimney.support_size)
    members = workings.known(
        "see whether the box fits between the members",
        "survey.member_spacing",
        "survey.member_thickness",
    )
    if members:
        workings.bay_clear = bay_clear_width(*members)
    _position(workings)
    fit = workings.bay_fit
    _cut(workings, workings.plumb_offset or 0.0 if fit is not None and fit.fits else 0.0)


def _cut(workings: Workings, offset: float) -> None:
    """List what to cut for an opening so far from its bay's centre."""
    opening, clear = workings.opening, workings.bay_clear
    if opening is not None and clear is not None and opening <= clear + EQUAL_WITHIN:
        workings.cut_list = tuple(cut_list(clear, opening, workings.survey.framing_stock, offset))


def _position(workings: Workings) -> None:
    """Find the bay the plumb line lands in. The first member's near face is measured from the wall."""
    place = workings.known(
        "see where the flue lands between the members",
        "survey.wall_to_flue_centre",
        "survey.wall_to_first_member",
    )
    spacing, thickness = workings.survey.member_spacing, workings.survey.member_thickness
    if not place or spacing is None or thickness is None or workings.bay_clear is None:
        return
    centre, first = place
    along = centre - first - thickness / 2
    bay = math.floor(along / spacing)
    if bay < 0:
        workings.before_first_member = True
    else:
        workings.plumb_offset = along - (bay + 0.5) * spacing
    if workings.opening is None:
        return
    if workings.plumb_offset is not None:
        workings.bay_fit = fit_in_bay(workings.bay_clear, workings.opening, workings.plumb_offset)


def place_appliance(workings: Workings, room_near: float | None, room_far: float | None) -> None:
    """Look for the nearest position that lands the box in a bay and keeps the clearances, if need be.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `nearest`
    room_near : float or None
        How far the appliance may move towards the wall the members are counted from [m]
    room_far : float or None
        How far it may move away from that wall [m]
    """
    survey = workings.survey
    fits = workings.bay_fit is not None and workings.bay_fit.fits
    keeps = all(room is None or room >= -EQUAL_WITHIN for room in (room_near, room_far))
    workings.room_known = None not in (room_near, room_far)
    if (fits and keeps) or workings.opening is None or survey.wall_to_flue_centre is None:
        return
    if None in (survey.wall_to_first_member, survey.member_spacing, survey.member_thickness):
        return
    centre = survey.wall_to_flue_centre
    low = 0.0 if room_near is None else max(0.0, centre - room_near)
    high = math.inf if room_far is None else centre + room_far
    if low > high:
        workings.walls_too_close = True
        return
    workings.nearest = nearest_fit(
        survey.wall_to_first_member or 0.0,
        survey.member_spacing or 0.0,
        survey.member_thickness or 0.0,
        workings.opening,
        centre,
        allowed=(low, high),
    )
    if best := workings.nearest.best:
        _cut(workings, (best.gap_near - best.gap_far) / 2)
