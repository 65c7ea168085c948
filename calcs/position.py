"""Where the flue lands between the ceiling members, and where else the appliance may stand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.bays import Bays
from calcs.checks import EQUAL_WITHIN
from calcs.corner import DIAGONAL, corner_flue
from calcs.framing import bay_clear_width, cut_list, fit_in_bay, framed_opening, nearest_fit
from calcs.routes import THROUGH_WALL, VAULTED_CEILING
from calcs.routes.vault import stretch_blocks

if TYPE_CHECKING:
    from calcs.workings import Workings


def frame_opening(workings: Workings) -> None:
    """Size the framed opening and find where it lands between the members.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `opening`, `bay_clear`, `members_cut`, `wall_to_centre`, `plumb_offset`,
        `bay_fit` and `cut_list`
    """
    listed = workings.known("size the framed opening", "chimney.outer_diameter", "chimney.clearance")
    if listed:
        chimney = workings.chimney
        in_wall = workings.survey.route == THROUGH_WALL
        size = chimney.thimble_size if in_wall else chimney.support_size
        workings.opening = framed_opening(listed[0], listed[1], size)
    members = workings.known(
        "see whether the box fits between the members",
        "survey.member_spacing",
        "survey.member_thickness",
    )
    if members:
        workings.bay_clear = bay_clear_width(*members)
        _head_off(workings, *members)
    _land(workings)
    fit = workings.bay_fit
    cut_opening(workings, workings.plumb_offset or 0.0 if fit is not None and fit.fits else 0.0)


def _head_off(workings: Workings, spacing: float, thickness: float) -> None:
    """Take the room between a joist's neighbours where no bay holds the box and the rule book tells how."""
    opening, clear = workings.opening, workings.bay_clear
    if opening is None or clear is None or opening <= clear + EQUAL_WITHIN:
        return
    one_cut = Bays(0.0, spacing, thickness, opening, 1)
    rule = "wall.header" if workings.survey.route == THROUGH_WALL else "framing.single_header_span"
    ruled = workings.rulebook.find(rule) is not None
    if workings.survey.member_kind == "joist" and ruled and one_cut.fit:
        workings.members_cut, workings.bay_clear = 1, one_cut.clear


def cut_opening(workings: Workings, offset: float) -> None:
    """List what to cut for an opening so far from its bay's centre.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `cut_list`
    offset : float
        From the bay's centre to the opening's [m]
    """
    opening, clear = workings.opening, workings.bay_clear
    if opening is not None and clear is not None and opening <= clear + EQUAL_WITHIN:
        workings.cut_list = tuple(
            cut_list(clear, opening, workings.survey.framing_stock, offset, members_cut=workings.members_cut)
        )
        if workings.survey.route == VAULTED_CEILING:
            stretch_blocks(workings)


def corner_centre(workings: Workings) -> float | None:
    """Distance of the flue centre from the corner wall the members run along, by the appliance's sheet.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Distance with both rear corners as far from their walls as the nearer was measured [m]; None away
        from a corner, or while a figure is not known

    Notes
    -----
    Members that run front to back are counted from the wall on the left of somebody facing the corner,
    those that run side to side from the wall on the right.
    """
    survey, appliance = workings.survey, workings.appliance
    if survey.placement != "corner" or survey.route == THROUGH_WALL:
        return None
    stands, width, back = survey.corner_wall, appliance.width, appliance.back_to_flue_centre
    side = appliance.side_to_flue_centre
    if stands is None or back is None or not width or (side is not None and side > width):
        return None
    flue = corner_flue(stands, width, back, side)
    return flue.from_left if survey.member_direction == "front to back" else flue.from_right


def _land(workings: Workings) -> None:
    """Find the bay the plumb line lands in. The first member's near face is measured from the wall."""
    survey = workings.survey
    workings.wall_to_centre = survey.wall_to_flue_centre
    names = ["survey.wall_to_flue_centre", "survey.wall_to_first_member"]
    if workings.wall_to_centre is None and (reckoned := corner_centre(workings)) is not None:
        workings.wall_to_centre = reckoned
        names = names[1:]
    place = workings.known("see where the flue lands between the members", *names)
    spacing, thickness = survey.member_spacing, survey.member_thickness
    if not place or spacing is None or thickness is None or workings.bay_clear is None:
        return
    along = (workings.wall_to_centre or 0.0) - place[-1] - thickness / 2
    if along < 0:
        workings.before_first_member = True
    elif workings.members_cut:
        # The first member stays: there is nothing before it to head a joist off against.
        workings.plumb_offset = along - max(1, round(along / spacing)) * spacing
    else:
        workings.plumb_offset = along - (math.floor(along / spacing) + 0.5) * spacing
    if workings.opening is not None and workings.plumb_offset is not None:
        workings.bay_fit = fit_in_bay(workings.bay_clear, workings.opening, workings.plumb_offset)


def bays_of(workings: Workings) -> Bays | None:
    """Bays the box may stand in.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    Bays or None
        The bays; None while the members or the box are not known
    """
    survey, opening = workings.survey, workings.opening
    first, spacing, thickness = survey.wall_to_first_member, survey.member_spacing, survey.member_thickness
    if opening is None or first is None or spacing is None or thickness is None:
        return None
    return Bays(first, spacing, thickness, opening, workings.members_cut)


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
    fits = workings.bay_fit is not None and workings.bay_fit.fits
    keeps = all(room is None or room >= -EQUAL_WITHIN for room in (room_near, room_far))
    workings.room_known = None not in (room_near, room_far)
    workings.room = (room_near, room_far)
    bays, centre = bays_of(workings), workings.wall_to_centre
    if (fits and keeps) or bays is None or centre is None:
        return
    low, high = allowed_centres(workings, centre)
    if low > high:
        workings.walls_too_close = True
        return
    workings.nearest = nearest_fit(
        bays.first,
        bays.spacing,
        bays.thickness,
        bays.opening,
        centre,
        allowed=(low, high),
        members_cut=bays.members_cut,
    )
    if best := workings.nearest.best:
        cut_opening(workings, (best.gap_near - best.gap_far) / 2)


def allowed_centres(workings: Workings, centre: float) -> tuple[float, float]:
    """Least and greatest distance from the wall to the flue centre that keep the clearances.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    centre : float
        Distance as the appliance stands [m]

    Returns
    -------
    tuple of float
        Distances [m]; a side that was not measured is open
    """
    near, far = workings.room
    low = 0.0 if near is None else max(0.0, centre - near)
    return low, math.inf if far is None else centre + far


def square_room(diagonal_room: float | None) -> float | None:
    """Room square to the walls for a room along the diagonal out of a corner.

    Parameters
    ----------
    diagonal_room : float or None
        Room along the diagonal [m]

    Returns
    -------
    float or None
        Room square to either wall [m]

    Examples
    --------
    >>> round(square_room(0.1414), 4)
    0.1

    References
    ----------
    Plane geometry: at 45 degrees, either side is the diagonal by the root of two.
    """
    return None if diagonal_room is None else diagonal_room / DIAGONAL
