"""Attic protection: whether the insulation shield fits under the roof, and the enclosure when it does not."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from calcs.checks import EQUAL_WITHIN
from calcs.roof import check_not_negative, check_pitch, check_positive

FOOT = 0.3048
#: Width of a saw cut and its tolerance, allowed between panels laid out on a sheet.
KERF = 0.003175


@dataclass(frozen=True)
class ShieldFit:
    """Height free over the box at its low and its high side, in m, and how far the shield is too tall."""

    fits: bool
    height_low: float
    height_high: float
    shortfall: float


@dataclass(frozen=True)
class Panel:
    """A panel of the enclosure, in m, drawn as it lies flat with its bottom edge on y = 0.

    `corners` run from the bottom left round to the top left and show the longer face. `bevel_degrees` is
    the tilt of the saw for the top edge, `height_short` what that leaves on the other face, and `laps` says
    how it meets its neighbours at the corners.
    """

    name: str
    count: int
    corners: tuple[tuple[float, float], ...]
    thickness: float
    bevel_degrees: float
    note: str = ""
    height_short: float | None = None
    laps: str = ""

    @property
    def width(self) -> float:
        """Width along the bottom edge [m]."""
        return max(x for x, _ in self.corners)

    @property
    def height_left(self) -> float:
        """Height of the left edge [m]."""
        return self.corners[3][1]

    @property
    def height_right(self) -> float:
        """Height of the right edge [m]."""
        return self.corners[2][1]


def shield_fit(shield_height: float, box: float, height_at_centre: float, pitch_degrees: float) -> ShieldFit:
    """Whether the attic insulation shield stands uncut under the roof.

    Parameters
    ----------
    shield_height : float
        Height of the shield above the ceiling framing [m]
    box : float
        Side of the box or opening the shield stands on [m]
    height_at_centre : float
        From the ceiling framing up to the roof deck at the flue centre [m]
    pitch_degrees : float
        Angle of the roof to the horizontal [degrees]

    Returns
    -------
    ShieldFit
        Verdict, free height at the low and high side of the box, and the shortfall, 0 when it fits [m]

    Raises
    ------
    ValueError
        A height or size is not above zero, the pitch is outside 0 to 80 degrees, or the roof meets the
        ceiling within the box.

    Notes
    -----
    The box is square to the slope. A shield is never cut down; one exactly as tall as the low side fits.

    Examples
    --------
    A 14 in box under a 6/12 roof leaves 7 in on the low side and 14 in on the high side:

    >>> inch = 0.0254
    >>> fit = shield_fit(15 * inch, 14 * inch, 10.5 * inch, 26.565051177)
    >>> fit.fits, round(fit.height_low / inch, 3), round(fit.height_high / inch, 3)
    (False, 7.0, 14.0)
    >>> round(fit.shortfall / inch, 3)
    8.0

    References
    ----------
    Common practice; the chimney's listing.
    """
    check_positive("shield_height", shield_height)
    check_positive("box", box)
    check_positive("height_at_centre", height_at_centre)
    check_pitch(pitch_degrees)
    rise = box / 2 * math.tan(math.radians(pitch_degrees))
    low, high = height_at_centre - rise, height_at_centre + rise
    if low < -EQUAL_WITHIN:
        raise ValueError("height_at_centre is too small: the roof meets the ceiling within the box")
    short = shield_height - low
    fits = short <= EQUAL_WITHIN
    return ShieldFit(fits, low, high, 0.0 if fits else short)


def enclosure_panels(
    inside: float, height_low: float, height_high: float, panel_thickness: float
) -> list[Panel]:
    """Panels of a full-height enclosure from the ceiling framing to a sloped deck.

    Parameters
    ----------
    inside : float
        Clear side of the square inside the panels, at least the framed opening [m]
    height_low : float
        Height to the deck at the inside of the low panel [m]
    height_high : float
        Height to the deck at the inside of the high panel [m]
    panel_thickness : float
        Thickness of the panels [m]

    Returns
    -------
    list[Panel]
        The low panel, the high panel and the two sides as true shapes [m]

    Raises
    ------
    ValueError
        A size is not above zero, the heights are the wrong way round, or the deck meets the ceiling
        framing before the outer face of the low panel.

    Notes
    -----
    The low and high panels stand between the sides, which run over their ends. The low panel's inner face
    is its longer one, the high panel's outer face. Both are beveled at the pitch; the sides are cut along
    the slope with a square edge. Under a flat roof all are square and alike in height. The panels stand
    outside the chimney's clearance, so they may be wood. Under a ridge, a hip or a valley two slopes meet
    over the box: such an enclosure has no panels here.

    Examples
    --------
    >>> inch = 0.0254
    >>> low, high, side = enclosure_panels(14 * inch, 7 * inch, 14 * inch, 0.5 * inch)
    >>> [round(panel.height_right / inch, 3) for panel in (low, high, side)]
    [7.0, 14.25, 14.25]
    >>> round(side.width / inch, 3), round(side.height_left / inch, 3), side.count
    (15.0, 6.75, 2)
    >>> round(low.bevel_degrees, 2)
    26.57

    References
    ----------
    Common practice.
    """
    check_positive("inside", inside)
    check_not_negative("height_low", height_low)
    check_positive("height_high", height_high)
    check_positive("panel_thickness", panel_thickness)
    if height_high < height_low - EQUAL_WITHIN:
        raise ValueError("height_high must not be less than height_low")
    slope = max(0.0, height_high - height_low) / inside
    outer_low = height_low - panel_thickness * slope
    outer_high = height_high + panel_thickness * slope
    if outer_low <= 0:
        raise ValueError(
            "height_low is too small: the deck meets the ceiling framing within the low panel's thickness"
        )
    bevel = math.degrees(math.atan(slope))
    low_point, high_point = ("long point on the inside face", "long point on the outside face")
    if not slope:
        low_point = high_point = "top edge square"
    between, over = "stands between the side panels", "covers the ends of the low and high panels"
    low = _upright("low panel", inside, height_low, panel_thickness, bevel)
    high = _upright("high panel", inside, outer_high, panel_thickness, bevel)
    width = inside + 2 * panel_thickness
    corners = ((0.0, 0.0), (width, 0.0), (width, outer_high), (0.0, outer_low))
    return [
        replace(low, note=low_point, height_short=outer_low, laps=between),
        replace(high, note=high_point, height_short=height_high, laps=between),
        Panel(
            "side panel",
            2,
            corners,
            panel_thickness,
            0.0,
            "one left, one right; covers the ends of the low and high panels",
            laps=over,
        ),
    ]


def _upright(name: str, width: float, height: float, thickness: float, bevel: float) -> Panel:
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Panel(name, 1, corners, thickness, bevel)


def plywood_sheets(panels: list[Panel], sheet: tuple[float, float] = (4 * FOOT, 8 * FOOT)) -> int:
    """Sheets of plywood that surely hold the panels.

    Parameters
    ----------
    panels : list[Panel]
        Panels from `enclosure_panels` [m]
    sheet : tuple[float, float]
        Width and length of a sheet [m]

    Returns
    -------
    int
        Count of sheets [-]

    Raises
    ------
    ValueError
        A panel is larger than a sheet.

    Notes
    -----
    Bounding rectangles are laid in rows, the tallest first, with a saw cut between them: a layout that can
    be cut, not always the fewest sheets.

    Examples
    --------
    >>> inch = 0.0254
    >>> plywood_sheets(enclosure_panels(14 * inch, 7 * inch, 14 * inch, 0.5 * inch))
    1

    References
    ----------
    First-fit decreasing height for strip packing (Coffman, Garey, Johnson, Tarjan, 1980), from memory.
    """
    across, along = sheet
    pieces = []
    for panel in panels:
        width, height = panel.width, max(panel.height_left, panel.height_right)
        if width > across + EQUAL_WITHIN or height > along + EQUAL_WITHIN:
            width, height = height, width
        if width > across + EQUAL_WITHIN or height > along + EQUAL_WITHIN:
            raise ValueError(f"The {panel.name} is larger than a sheet; join it from two pieces over a stud")
        pieces += [(height, width)] * panel.count
    rows: list[list[float]] = []
    for height, width in sorted(pieces, reverse=True):
        row = next((one for one in rows if one[1] + KERF + width <= across + EQUAL_WITHIN), None)
        if row is None:
            rows.append([height, width])
        else:
            row[1] += KERF + width
    sheets: list[float] = []
    for height, _ in rows:
        for at, used in enumerate(sheets):
            if used + KERF + height <= along + EQUAL_WITHIN:
                sheets[at] = used + KERF + height
                break
        else:
            sheets.append(height)
    return len(sheets)
