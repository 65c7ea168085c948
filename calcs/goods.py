"""What the goods of the load list are called and how long they come, in inches or in millimetres."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from calcs.flashing import FlashingChoice
from calcs.framing import LUMBER

_FOOT = 0.3048
_MILLIMETRE = 1e-3

#: Trade sizes that serve for each other. Common practice, from memory.
_NAMES: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "imperial": {
            "support screws": "wood screws, No. 8 x 1 1/2 to 2 in",
            "panel screws": "wood screws, No. 8 x 1 1/4 in",
            "framing nails": "framing nails, 16d",
            "roofing nails": "roofing nails, 12 ga, 1 1/4 in",
            "sealant": "roofing sealant, 10.1 fl oz",
            "sheet-metal screws": "sheet-metal screws, 1/2 in",
            "plywood": "plywood, 1/2 in",
            "cleats": "corner cleats, 2x2",
            "spacers": "non-combustible spacers, with screws",
        },
        "metric": {
            "support screws": "wood screws, 4 x 40 to 4 x 50 mm",
            "panel screws": "wood screws, 4 x 30 mm",
            "framing nails": "framing nails, 90 mm",
            "roofing nails": "roofing nails, 2.7 x 32 mm",
            "sealant": "roofing sealant, 300 ml",
            "sheet-metal screws": "sheet-metal screws, 13 mm",
            "plywood": "plywood, 12 mm",
            "cleats": "corner cleats, 38 x 38 mm",
            "spacers": "non-combustible spacers, with screws",
        },
    }
)
#: Lengths the trade sells lumber and connector pipe in [m]. Common practice, from memory.
LUMBER_LENGTHS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {"imperial": tuple(feet * _FOOT for feet in (8, 10, 12, 14, 16)), "metric": (2.4, 3.0, 3.6, 4.2, 4.8)}
)
PIPE_LENGTH: Mapping[str, float] = MappingProxyType({"imperial": 2 * _FOOT, "metric": 0.5})
#: Sheets for walls and boards for hearths, across and along [m]. Common practice, from memory.
WALL_SHEET: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"imperial": (4 * _FOOT, 8 * _FOOT), "metric": (1.2, 2.4)}
)
HEARTH_BOARD: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"imperial": (3 * _FOOT, 5 * _FOOT), "metric": (0.9, 1.2)}
)


def goods_name(goods: str, system: str) -> str:
    """Name of something on the load list.

    Parameters
    ----------
    goods : str
        What it is for, such as `framing nails`
    system : str
        imperial | metric

    Returns
    -------
    str
        Name with its trade size

    Examples
    --------
    >>> goods_name("sealant", "imperial"), goods_name("sealant", "metric")
    ('roofing sealant, 10.1 fl oz', 'roofing sealant, 300 ml')
    """
    return _NAMES[system][goods]


def stock_name(stock: str, system: str) -> str:
    """Name of framing lumber.

    Parameters
    ----------
    stock : str
        Trade name in inches, such as 2x6
    system : str
        imperial | metric

    Returns
    -------
    str
        The trade name, or its actual size in millimetres

    Examples
    --------
    >>> stock_name("2x6", "imperial"), stock_name("2x6", "metric")
    ('2x6', '38 x 140 mm')
    """
    if system == "imperial" or stock not in LUMBER:
        return stock
    thickness, depth = LUMBER[stock]
    return f"{thickness / _MILLIMETRE:.0f} x {depth / _MILLIMETRE:.0f} mm"


def flashing_name(choice: FlashingChoice, system: str) -> str:
    """Name of a flashing by the slopes it is made for.

    Parameters
    ----------
    choice : FlashingChoice
        The flashing chosen
    system : str
        imperial | metric

    Returns
    -------
    str
        Name with slopes in twelve, or in degrees

    Examples
    --------
    >>> from calcs.flashing import flashing_for_pitch
    >>> flashing_name(flashing_for_pitch(8), "imperial"), flashing_name(flashing_for_pitch(8), "metric")
    ('flashing for slopes 6/12 to 12/12', 'flashing for slopes 27° to 45°')
    """
    if system == "imperial" or choice.highest_pitch < 1:
        return choice.name
    low, high = (math.degrees(math.atan(rise / 12)) for rise in (choice.lowest_pitch, choice.highest_pitch))
    return (
        f"flashing for slopes up to {high:.0f}°"
        if low < 5
        else f"flashing for slopes {low:.0f}° to {high:.0f}°"
    )
