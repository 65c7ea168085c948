"""Flashing: what keeps the rain out of the hole, and how much of it to load."""

from __future__ import annotations

import math
from dataclasses import dataclass

INCH = 0.0254

#: Nails about 4 in apart, 1/2 in from the flashing's edge. Common practice.
NAIL_SPACING = 4 * INCH
NAIL_EDGE = 0.5 * INCH
#: A 10.1 fl oz cartridge holds 18.3 in3.
CARTRIDGE_VOLUME = 18.3 * INCH**3
#: A bead of 1/4 by 3/8 in.
BEAD_WIDTH = 0.25 * INCH
BEAD_DEPTH = 0.375 * INCH
#: What stays in the cartridge, on the gun and on the gloves. Common practice, from memory.
SEALANT_WASTE = 0.15
#: The flashing's plate reaches this far beyond the hole on every side. Common practice, from memory; the
#: published least is 4 in at the sides.
PLATE_REACH = 6 * INCH
#: A penetration wider than this needs a cricket on its uphill side.
CRICKET_FROM_WIDTH = 30 * INCH
#: Steepest slope a cone flashing is made for, as rise in 12. Common practice, from memory.
STEEPEST_FLASHING = 18.0


@dataclass(frozen=True)
class FlashingPlate:
    """Size of the flashing's flat plate: across the slope and along it [m]."""

    across: float
    along: float

    @property
    def perimeter(self) -> float:
        """Length around the edge [m]."""
        return 2 * (self.across + self.along)


@dataclass(frozen=True)
class FlashingChoice:
    """The flashing to load for a slope: its name and the slopes it is made for, as rise in 12."""

    name: str
    lowest_pitch: float
    highest_pitch: float
    note: str = ""


#: Cone flashings are made in these ranges of slope. Common practice, from memory.
FLASHINGS = (
    FlashingChoice("flat roof flashing", 0.0, 0.5),
    FlashingChoice("flashing for slopes up to 6/12", 0.5, 6.0),
    FlashingChoice("flashing for slopes 6/12 to 12/12", 6.0, 12.0),
    FlashingChoice("flashing for slopes 12/12 to 18/12", 12.0, 18.0),
)

#: What a covering asks of the flashing. Common practice, from memory.
COVERING_NOTES = {
    "asphalt shingle": "upper half under the courses, lower edge on top of them",
    "wood shingle": "upper half under the courses; keep the listed clearance to the shingles",
    "slate": "upper half under the slates; slate hooks or copper nails",
    "tile": "with a soft apron dressed into the tile's profile",
    "metal": "with a flexible skirt that follows the ribs; butyl tape under it, stitching screws",
    "membrane": "welded or bonded in by the roofer of that membrane",
    "thatch": "by a thatcher, with the spark and clearance rules for thatch",
}


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0:
            raise ValueError(f"{name}: {value:g} has to be positive")


def flashing_plate(opening_across: float, opening_along: float, reach: float = PLATE_REACH) -> FlashingPlate:
    """Least plate that covers the hole and reaches beyond it.

    Parameters
    ----------
    opening_across : float
        Width of the hole across the slope [m]
    opening_along : float
        Length of the hole along the slope [m]
    reach : float
        How far the plate goes beyond the hole on each side [m]

    Returns
    -------
    FlashingPlate
        Plate [m]

    Raises
    ------
    ValueError
        If a length is not positive.

    Examples
    --------
    >>> plate = flashing_plate(14 * INCH, 16 * INCH)
    >>> round(plate.across / INCH), round(plate.along / INCH), round(plate.perimeter / INCH)
    (26, 28, 108)

    References
    ----------
    Common practice, from memory.
    """
    _positive(opening_across=opening_across, opening_along=opening_along, reach=reach)
    return FlashingPlate(opening_across + 2 * reach, opening_along + 2 * reach)


def nail_count(perimeter: float, spacing: float = NAIL_SPACING) -> int:
    """Nails around a closed line, no further apart than the spacing.

    Parameters
    ----------
    perimeter : float
        Length of the closed line of nails [m]
    spacing : float
        Greatest distance from nail to nail [m]

    Returns
    -------
    int
        Nails [-]

    Raises
    ------
    ValueError
        If a length is not positive.

    Examples
    --------
    >>> nail_count(108 * INCH)
    27
    >>> nail_count(109 * INCH)
    28

    References
    ----------
    Common practice: nails about 4 in apart and 1/2 in from the edge.
    """
    _positive(perimeter=perimeter, spacing=spacing)
    return math.ceil(perimeter / spacing - 1e-9)


def bead_yield(
    width: float = BEAD_WIDTH,
    depth: float = BEAD_DEPTH,
    cartridge_volume: float = CARTRIDGE_VOLUME,
) -> float:
    """Length of bead that one cartridge gives.

    Parameters
    ----------
    width : float
        Width of the bead [m]
    depth : float
        Depth of the bead [m]
    cartridge_volume : float
        Volume of the cartridge [m3]

    Returns
    -------
    float
        Length [m]

    Raises
    ------
    ValueError
        If an input is not positive.

    Notes
    -----
    A full cartridge into a clean rectangular joint; waste comes on top in `sealant_cartridges`.

    Examples
    --------
    >>> round(bead_yield() / (12 * INCH), 1)
    16.3

    References
    ----------
    Volume over cross-section. A 10.1 fl oz cartridge is 18.3 in3; sealant yield tables give 16 ft for
    1/4 x 3/8 in.
    """
    _positive(width=width, depth=depth, cartridge_volume=cartridge_volume)
    return cartridge_volume / (width * depth)


def sealant_cartridges(
    bead_length: float,
    width: float = BEAD_WIDTH,
    depth: float = BEAD_DEPTH,
    waste: float = SEALANT_WASTE,
    cartridge_volume: float = CARTRIDGE_VOLUME,
) -> int:
    """Whole cartridges for a length of bead, with waste.

    Parameters
    ----------
    bead_length : float
        Length of all beads together [m]
    width : float
        Width of the bead [m]
    depth : float
        Depth of the bead [m]
    waste : float
        Part of the sealant that does not end in the joint, as a share of what does [-]
    cartridge_volume : float
        Volume of a cartridge [m3]

    Returns
    -------
    int
        Cartridges [-]

    Raises
    ------
    ValueError
        If `bead_length` or `waste` is negative or another input is not positive.

    Examples
    --------
    >>> sealant_cartridges(20 * 12 * INCH)
    2
    >>> sealant_cartridges(0)
    0

    References
    ----------
    `bead_yield`; waste by common practice, from memory.
    """
    if bead_length < 0:
        raise ValueError(f"bead_length: {bead_length:g} m is negative")
    if waste < 0:
        raise ValueError(f"waste: {waste:g} is negative")
    yield_each = bead_yield(width, depth, cartridge_volume)
    return math.ceil(bead_length * (1 + waste) / yield_each - 1e-9)


def cricket_height(width: float, pitch: float) -> float:
    """Height of the cricket that turns water around a wide penetration.

    Parameters
    ----------
    width : float
        Width of the penetration across the slope [m]
    pitch : float
        Roof slope as rise in 12 [-]

    Returns
    -------
    float
        Height [m]

    Raises
    ------
    ValueError
        If `width` is not positive or `pitch` is outside 0 to 24.

    Notes
    -----
    Published for 3/12 to 12/12; the ridge of a cricket as steep as the roof, half the width away, gives
    the same figures and is used for every slope. Needed from 30 in of width on (`cricket_needed`).

    Examples
    --------
    >>> round(cricket_height(36 * INCH, 12) / INCH, 3)
    18.0
    >>> round(cricket_height(36 * INCH, 6) / INCH, 3)
    9.0

    References
    ----------
    IRC table R1003.20: 1/2, 1/3, 1/4, 1/6 and 1/8 of the width at 12, 8, 6, 4 and 3 in 12.
    """
    _positive(width=width)
    if not 0 <= pitch <= 24:
        raise ValueError(f"pitch: {pitch:g} in 12 is outside 0 to 24")
    return width / 2 * pitch / 12


def cricket_needed(width: float) -> bool:
    """Whether a penetration is wide enough to need a cricket.

    Parameters
    ----------
    width : float
        Width of the penetration across the slope [m]

    Returns
    -------
    bool
        True when wider than 30 in

    Raises
    ------
    ValueError
        If `width` is not positive.

    Examples
    --------
    >>> cricket_needed(14 * INCH), cricket_needed(31 * INCH)
    (False, True)

    References
    ----------
    IRC R1003.20.
    """
    _positive(width=width)
    return width > CRICKET_FROM_WIDTH + 1e-9


def flashing_for_pitch(pitch: float, covering: str = "asphalt shingle") -> FlashingChoice:
    """Flashing made for a slope.

    Parameters
    ----------
    pitch : float
        Roof slope as rise in 12 [-]
    covering : str
        Roof covering, a key of `COVERING_NOTES`

    Returns
    -------
    FlashingChoice
        Name, range of slopes and what the covering asks for; on the edge between two ranges the lower one

    Raises
    ------
    ValueError
        If no flashing is made for `pitch` or `covering` is not known.

    Examples
    --------
    >>> flashing_for_pitch(4).name
    'flashing for slopes up to 6/12'
    >>> flashing_for_pitch(0).name
    'flat roof flashing'

    References
    ----------
    Common practice, from memory.
    """
    if covering not in COVERING_NOTES:
        raise ValueError(f"covering: {covering!r} is not one of {', '.join(COVERING_NOTES)}")
    if not 0 <= pitch <= STEEPEST_FLASHING:
        raise ValueError(
            f"pitch: no flashing is made for {pitch:g} in 12; the range is 0 to {STEEPEST_FLASHING:g} in 12"
        )
    choice = next(one for one in FLASHINGS if pitch <= one.highest_pitch + 1e-9)
    return FlashingChoice(choice.name, choice.lowest_pitch, choice.highest_pitch, COVERING_NOTES[covering])
