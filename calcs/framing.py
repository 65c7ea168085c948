"""Framing: where the support box lands between the members, how far to move, and what to cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.bays import Bays, Position
from calcs.checks import EQUAL_WITHIN
from calcs.cuts import HANGER_SPAN, LUMBER, SINGLE_HEADER_SPAN, Cut, cut_list
from calcs.lengths import INCH
from calcs.roof import check_not_negative, check_positive

__all__ = [
    "HANGER_SPAN",
    "LUMBER",
    "SINGLE_HEADER_SPAN",
    "BayFit",
    "Cut",
    "NearestFit",
    "Position",
    "bay_clear_width",
    "cut_list",
    "fit_in_bay",
    "framed_opening",
    "nearest_fit",
]


@dataclass(frozen=True)
class BayFit:
    """How a box sits in a bay, in m.

    A negative gap is an overlap; `shift_to_fit` is None if the box never fits.
    """

    fits: bool
    gap_left: float
    gap_right: float
    shift_to_fit: float | None


@dataclass(frozen=True)
class NearestFit:
    """Nearest positions towards the wall and away from it.

    `best` is the shorter move, None if there is none.
    """

    fits_as_measured: bool
    best: Position | None
    towards_wall: Position | None
    away_from_wall: Position | None
    reasons: tuple[str, ...]


def bay_clear_width(spacing: float, member_thickness: float) -> float:
    """Clear width between two members.

    Parameters
    ----------
    spacing : float
        Spacing on centre [m]
    member_thickness : float
        Thickness of one member [m]

    Returns
    -------
    float
        Clear width [m]

    Raises
    ------
    ValueError
        A figure is not above zero, or the members would touch.

    Examples
    --------
    Members 24 in on centre, 1 1/2 in thick:

    >>> round(bay_clear_width(24 * 0.0254, 1.5 * 0.0254) / 0.0254, 3)
    22.5

    References
    ----------
    Common practice.
    """
    check_positive("spacing", spacing)
    check_positive("member_thickness", member_thickness)
    if member_thickness >= spacing:
        raise ValueError("member_thickness must be less than spacing, or there is no bay between members")
    return spacing - member_thickness


def framed_opening(outer_diameter: float, clearance: float, support_size: float | None = None) -> float:
    """Least square opening between the framing.

    Parameters
    ----------
    outer_diameter : float
        Outside diameter of the chimney [m]
    clearance : float
        Clearance to combustible material by the listing [m]
    support_size : float | None
        Outside size of the support box, None if the listing gives none [m]

    Returns
    -------
    float
        Side of the opening: the pipe with its clearance, or the box when that is larger [m]

    Raises
    ------
    ValueError
        The diameter or the box is not above zero, or the clearance is negative.

    Examples
    --------
    A 6 in flue with a 10 in outside diameter and 2 in clearance:

    >>> round(framed_opening(0.254, 0.0508) / 0.0254, 3)
    14.0

    References
    ----------
    Common practice; the chimney's listing goes first.
    """
    check_positive("outer_diameter", outer_diameter)
    check_not_negative("clearance", clearance)
    least = outer_diameter + 2 * clearance
    if support_size is None:
        return least
    check_positive("support_size", support_size)
    return max(least, support_size)


def fit_in_bay(bay_clear: float, opening: float, offset_from_centre: float) -> BayFit:
    """Whether the box fits where the plumb line landed, and how far it must move if not.

    Parameters
    ----------
    bay_clear : float
        Clear width of the bay [m]
    opening : float
        Side of the box or opening [m]
    offset_from_centre : float
        Plumb point from the bay's centre, positive to the right [m]

    Returns
    -------
    BayFit
        Verdict, gaps to the left and right member, and the least move, positive to the right [m]

    Raises
    ------
    ValueError
        A width is not above zero or the offset is not a number.

    Examples
    --------
    The box has 4 1/4 in to spare each side, so a plumb point an inch off centre may stay:

    >>> fit = fit_in_bay(22.5 * 0.0254, 14 * 0.0254, 1 * 0.0254)
    >>> fit.fits, round(fit.gap_left / 0.0254, 3), round(fit.gap_right / 0.0254, 3), fit.shift_to_fit
    (True, 5.25, 3.25, 0.0)

    References
    ----------
    Common practice.
    """
    check_positive("bay_clear", bay_clear)
    check_positive("opening", opening)
    if not math.isfinite(offset_from_centre):
        raise ValueError(f"offset_from_centre must be a number, not {offset_from_centre!r}")
    spare = (bay_clear - opening) / 2
    gap_left, gap_right = spare + offset_from_centre, spare - offset_from_centre
    if spare < -EQUAL_WITHIN:
        return BayFit(False, gap_left, gap_right, None)
    if min(gap_left, gap_right) >= -EQUAL_WITHIN:
        return BayFit(True, gap_left, gap_right, 0.0)
    shift = math.copysign(spare, offset_from_centre) - offset_from_centre
    return BayFit(False, gap_left, gap_right, shift)


def nearest_fit(  # noqa: PLR0917
    wall_to_first_member: float,
    spacing: float,
    member_thickness: float,
    opening: float,
    wall_to_centre: float,
    allowed: tuple[float, float] = (0.0, math.inf),
    *,
    members_cut: int = 0,
) -> NearestFit:
    """Nearest appliance position that keeps its clearances and lands the box in a bay.

    Parameters
    ----------
    wall_to_first_member : float
        From the wall to the near face of the first member [m]
    spacing : float
        Spacing on centre [m]
    member_thickness : float
        Thickness of one member [m]
    opening : float
        Side of the box or opening [m]
    wall_to_centre : float
        From the wall to the flue centre as the appliance stands [m]
    allowed : tuple[float, float]
        Least and greatest distance from the wall to the flue centre that keep every clearance [m]
    members_cut : int
        Joists that are cut and headed off for the box, which then stands between their neighbours [-]

    Returns
    -------
    NearestFit
        The nearest position towards the wall, the nearest away from it, the shorter of the two moves, and
        sentences saying why one is missing [m]

    Raises
    ------
    ValueError
        A figure is negative or no number, or `allowed` is upside down.

    Notes
    -----
    The strip between the wall and the first member is no bay: nothing is known to hold a box on its wall
    side. Members are taken to repeat at the same spacing as far as `allowed` reaches.

    Examples
    --------
    First member's face 23 1/4 in from the wall, flue centre at 26 in: the box must go 5 3/4 in further out.

    >>> inch = 0.0254
    >>> found = nearest_fit(23.25 * inch, 24 * inch, 1.5 * inch, 14 * inch, 26 * inch)
    >>> round(found.best.move / inch, 3), found.towards_wall
    (5.75, None)

    References
    ----------
    Common practice.
    """
    bay_clear_width(spacing, member_thickness)
    check_not_negative("wall_to_first_member", wall_to_first_member)
    check_positive("opening", opening)
    check_not_negative("wall_to_centre", wall_to_centre)
    low, high = allowed
    if math.isnan(low) or math.isnan(high) or low > high:
        raise ValueError(f"allowed must run from the lesser to the greater distance, not {allowed!r}")
    if members_cut < 0:
        raise ValueError(f"members_cut must not be negative, not {members_cut!r}")
    grid = Bays(wall_to_first_member, spacing, member_thickness, opening, members_cut)
    if not grid.fit:
        reason = (
            f"The opening of {_inches(opening)} is wider than the {_inches(grid.clear)} between two members."
        )
        return NearestFit(False, None, None, None, (reason,))

    near = grid.down_from(min(wall_to_centre, high), low, wall_to_centre)
    far = grid.up_from(max(wall_to_centre, low), high, wall_to_centre)
    here = near is not None and abs(near.move) <= EQUAL_WITHIN
    reasons = []
    if near is None:
        reasons.append("Towards the wall no bay takes the box without losing a clearance.")
    if far is None:
        reasons.append("Away from the wall no bay takes the box within the distance allowed.")
    options = [one for one in (near, far) if one is not None]
    best = min(options, key=lambda one: abs(one.move), default=None)
    return NearestFit(here, best, near, far, tuple(reasons))


def _inches(metres: float) -> str:
    return f"{metres / INCH:.4g} in ({metres * 1000:.0f} mm)"
