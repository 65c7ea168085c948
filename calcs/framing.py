"""Framing: where the support box lands between the members, how far to move, and what to cut."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.checks import EQUAL_WITHIN
from calcs.roof import check_not_negative, check_positive

INCH = 0.0254
FOOT = 12 * INCH
#: Actual size of dressed lumber: (thickness, depth) in m by its trade name.
LUMBER: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "2x4": (1.5 * INCH, 3.5 * INCH),
        "2x6": (1.5 * INCH, 5.5 * INCH),
        "2x8": (1.5 * INCH, 7.25 * INCH),
        "2x10": (1.5 * INCH, 9.25 * INCH),
        "2x12": (1.5 * INCH, 11.25 * INCH),
    }
)
#: IRC R502.10 and R802.9; the same figures stand in the rule book under framing.*.
SINGLE_HEADER_SPAN = 4 * FOOT
HANGER_SPAN = 6 * FOOT


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
class Position:
    """A centre that lands the box in a bay, in m. `move` is positive away from the wall measured from."""

    centre: float
    move: float
    bay: int
    gap_near: float
    gap_far: float


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


@dataclass(frozen=True)
class Cut:
    """Pieces to cut for the framed opening; length in m."""

    name: str
    stock: str
    count: int
    length: float
    note: str = ""


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
    clear = bay_clear_width(spacing, member_thickness)
    check_not_negative("wall_to_first_member", wall_to_first_member)
    check_positive("opening", opening)
    check_not_negative("wall_to_centre", wall_to_centre)
    low, high = allowed
    if math.isnan(low) or math.isnan(high) or low > high:
        raise ValueError(f"allowed must run from the lesser to the greater distance, not {allowed!r}")
    if opening > clear + EQUAL_WITHIN:
        reason = f"The opening of {_inches(opening)} is wider than the {_inches(clear)} between two members."
        return NearestFit(False, None, None, None, (reason,))

    grid = _Bays(wall_to_first_member, spacing, member_thickness, min(opening, clear))
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


@dataclass(frozen=True)
class _Bays:
    """Bays counted from 1, each an interval of centres that keep the box between its two members."""

    first: float
    spacing: float
    thickness: float
    opening: float

    def centres(self, bay: int) -> tuple[float, float]:
        near_face = self.first + self.thickness + (bay - 1) * self.spacing
        far_face = self.first + bay * self.spacing
        return near_face + self.opening / 2, max(far_face - self.opening / 2, near_face + self.opening / 2)

    def position(self, bay: int, centre: float, measured: float) -> Position:
        near_face = self.first + self.thickness + (bay - 1) * self.spacing
        far_face = self.first + bay * self.spacing
        half = self.opening / 2
        return Position(centre, centre - measured, bay, centre - half - near_face, far_face - centre - half)

    def down_from(self, start: float, low: float, measured: float) -> Position | None:
        bay = math.floor((start - self.first - self.thickness - self.opening / 2) / self.spacing) + 1
        for one in (bay + 1, bay):
            least, most = self.centres(one)
            centre = min(start, most)
            if one >= 1 and centre >= least - EQUAL_WITHIN:
                return self.position(one, centre, measured) if centre >= low - EQUAL_WITHIN else None
        return None

    def up_from(self, start: float, high: float, measured: float) -> Position | None:
        bay = max(1, math.ceil((start - self.first + self.opening / 2) / self.spacing))
        for one in (bay - 1, bay, bay + 1):
            least, most = self.centres(one)
            centre = max(start, least)
            if one >= 1 and centre <= most + EQUAL_WITHIN:
                return self.position(one, centre, measured) if centre <= high + EQUAL_WITHIN else None
        return None


def cut_list(bay_clear: float, opening: float, stock: str, offset: float = 0.0) -> list[Cut]:
    """Pieces that frame a square opening between two members.

    Parameters
    ----------
    bay_clear : float
        Clear width between the members, which is the headers' span [m]
    opening : float
        Side of the opening [m]
    stock : str
        Lumber by its trade name, such as 2x6 [-]
    offset : float
        Opening's centre from the bay's, to either side [m]

    Returns
    -------
    list[Cut]
        Headers across the bay and blocks between them, counts and lengths [m]

    Raises
    ------
    ValueError
        A width is not above zero, the opening is wider than the bay or stands beyond it, or the stock is
        not known.

    Notes
    -----
    Headers up to 4 ft are single. Over 4 ft headers and trimmers are doubled; over 6 ft the headers hang in
    hangers. No blocks where the members themselves bound the opening. Nothing here cuts a member, and a
    truss is never cut.

    Examples
    --------
    >>> [(cut.name, cut.count, round(cut.length / 0.0254, 3)) for cut in cut_list(0.5715, 0.3556, "2x6")]
    [('header', 2, 22.5), ('block', 2, 14.0)]

    References
    ----------
    IRC R502.10 and R802.9, 2012.
    """
    check_positive("bay_clear", bay_clear)
    check_positive("opening", opening)
    if stock not in LUMBER:
        raise ValueError(f"stock must be one of {', '.join(LUMBER)}, not {stock!r}")
    if opening > bay_clear + EQUAL_WITHIN:
        raise ValueError("opening must not be wider than bay_clear, or a member would have to be cut")
    if abs(offset) > (bay_clear - opening) / 2 + EQUAL_WITHIN:
        raise ValueError("offset puts the opening beyond the bay, where a member would have to be cut")
    double = bay_clear > SINGLE_HEADER_SPAN + EQUAL_WITHIN
    notes = []
    if double:
        notes.append("double headers, double the trimmers")
    if bay_clear > HANGER_SPAN + EQUAL_WITHIN:
        notes.append("hang the headers in framing anchors or joist hangers")
    cuts = [Cut("header", stock, 4 if double else 2, bay_clear, "; ".join(notes))]
    spare = bay_clear - opening
    if spare > EQUAL_WITHIN:
        gap = spare / 2 - abs(offset)
        cuts.append(Cut("block", stock, 1 if gap <= EQUAL_WITHIN else 2, opening, _block_note(gap, stock)))
    return cuts


def _block_note(gap: float, stock: str) -> str:
    """Say what becomes of the block on the narrower side, where its thickness may not fit the gap."""
    if gap <= EQUAL_WITHIN:
        return "on the other side the member itself bounds the opening"
    tight = gap < LUMBER[stock][0] - EQUAL_WITHIN
    return "a gap is narrower than the stock is thick: rip that block to fit" if tight else ""


def _inches(metres: float) -> str:
    return f"{metres / INCH:.4g} in ({metres * 1000:.0f} mm)"
