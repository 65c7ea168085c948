"""Figures inside sentences, in the site's units."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.units import format_length

_PASCALS_PER_INCH_OF_WATER = 249.08891
_SYSTEMS = ("imperial", "metric")
#: Rule books whose trade measures in inches.
_IMPERIAL_BOOKS = frozenset({"us"})
#: From here on a height reads better in feet.
_FEET_FROM = 3.0


def system_of(rulebook_code: str) -> str:
    """Units the trade uses where a rule book applies.

    Parameters
    ----------
    rulebook_code : str
        Code of the rule book

    Returns
    -------
    str
        imperial | metric

    Examples
    --------
    >>> system_of("us"), system_of("uk")
    ('imperial', 'metric')
    """
    return "imperial" if rulebook_code in _IMPERIAL_BOOKS else "metric"


@dataclass(frozen=True)
class Wording:
    """Writes figures in one system of units."""

    system: str = "imperial"

    def __post_init__(self) -> None:
        if self.system not in _SYSTEMS:
            raise ValueError(f"system: {self.system!r} is not one of {', '.join(_SYSTEMS)}")

    def length(self, metres: float, rounding: str = "nearest") -> str:
        """Length to a sixteenth of an inch or a millimetre."""
        return format_length(metres, self.system, rounding=rounding)

    def least(self, metres: float) -> str:
        """A least length, never shown as less than it is."""
        return format_length(metres, self.system, rounding="up")

    def most(self, metres: float) -> str:
        """A greatest length, never shown as more than it is."""
        return format_length(metres, self.system, rounding="down")

    def height(self, metres: float, rounding: str = "nearest") -> str:
        """Height to half an inch in feet and inches, or metres to a centimetre."""
        if self.system == "metric":
            return f"{metres:.2f} m"
        return format_length(metres, self.system, 2, feet_from=_FEET_FROM, rounding=rounding)

    def dimension(self, metres: float) -> str:
        """Length as a drawing carries it: feet and inches to a sixteenth, or millimetres."""
        return format_length(metres, self.system, feet_from=_FEET_FROM)

    def draft(self, pascals: float) -> str:
        """Pressure as the gauges of the trade show it."""
        if self.system == "metric":
            return f"{pascals:.0f} Pa"
        return f"{pascals / _PASCALS_PER_INCH_OF_WATER:.2f} in w.c. ({pascals:.0f} Pa)"

    def temperature(self, celsius: float) -> str:
        """Temperature to a degree."""
        return f"{celsius:.0f} °C" if self.system == "metric" else f"{celsius * 1.8 + 32:.0f} °F"

    def pitch(self, rise: float) -> str:
        """Slope as rise in 12, or in degrees."""
        if self.system == "imperial":
            return "flat" if rise == 0 else f"{rise:g}/12"
        return f"{math.degrees(math.atan(rise / 12)):.0f}°"
