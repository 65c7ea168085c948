"""Figures inside sentences, in the site's units."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from calcs.lengths import rounded
from calcs.units import format_length, format_quantity

_SYSTEMS = ("imperial", "metric")
#: Rule books whose trade measures in inches.
_IMPERIAL_BOOKS = frozenset({"us"})
#: From here on a height reads better in feet.
_FEET_FROM = 3.0

_EITHER = re.compile(r"\{([^{}|]*)\|([^{}|]*)\}")


def in_units(text: str, system: str) -> str:
    """Text with the figures of one system of units, where it is written for both.

    Parameters
    ----------
    text : str
        Text such as `from {6 ft|1.8 m} up`, imperial first
    system : str
        imperial | metric

    Returns
    -------
    str
        The text with one of each pair

    Examples
    --------
    >>> in_units("Fall protection from {6 ft|1.8 m} up.", "metric")
    'Fall protection from 1.8 m up.'
    """
    return _EITHER.sub(r"\1" if system == "imperial" else r"\2", text)


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


def sheet_thickness(metres: float, system: str) -> str:
    """Sheet metal by its thickness in thousandths of an inch or hundredths of a millimetre.

    Parameters
    ----------
    metres : float
        Thickness [m]
    system : str
        imperial | metric [-]

    Returns
    -------
    str
        Such as 0.024 in or 0.61 mm

    Examples
    --------
    >>> sheet_thickness(0.024 * 0.0254, "imperial"), sheet_thickness(0.00033, "metric")
    ('0.024 in', '0.33 mm')
    """
    return f"{metres * 1000:.2f} mm" if system == "metric" else f"{metres / 0.0254:.3f} in"


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
            return f"{rounded(metres, 2, rounding):.2f} m"
        return format_length(metres, self.system, 2, feet_from=_FEET_FROM, rounding=rounding)

    def dimension(self, metres: float, rounding: str = "nearest") -> str:
        """Length as a drawing carries it: feet and inches to a sixteenth, or millimetres."""
        return format_length(metres, self.system, feet_from=_FEET_FROM, rounding=rounding)

    def draft(self, pascals: float, rounding: str = "nearest") -> str:
        """Pressure as the gauges of the trade show it, in whole pascals beside inches of water."""
        whole = rounded(pascals, 0, rounding)
        if self.system == "metric":
            return f"{whole:.0f} Pa"
        return f"{format_quantity(pascals, 'draft', 'imperial', rounding=rounding)} ({whole:.0f} Pa)"

    def temperature(self, celsius: float) -> str:
        """Temperature to a degree."""
        return f"{celsius:.0f} °C" if self.system == "metric" else f"{celsius * 1.8 + 32:.0f} °F"

    def pitch(self, rise: float) -> str:
        """Slope as rise in 12, or in degrees."""
        if self.system == "imperial":
            return "flat" if rise == 0 else f"{rise:g}/12"
        return f"{math.degrees(math.atan(rise / 12)):.0f}°"
