"""Ranges within which the relations of the flue hold, each kept once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from numbers import Real
from types import MappingProxyType


@dataclass(frozen=True)
class Range:
    """From the least to the greatest value that is reckoned with, and their unit as it is printed."""

    least: float
    greatest: float
    unit: str


#: Input of `calcs.draft.solve_flue` -> its range. The property relations end at 1000 degrees C, friction at
#: a relative roughness of 0.05; the rest keeps slips of the unit out and leaves room for what-ifs, such as
#: insulation without loss.
RANGES: Mapping[str, Range] = MappingProxyType(
    {
        "mass_flow": Range(1e-5, 1000.0, "kg/s"),
        "flue_gas_temperature": Range(-50.0, 1000.0, "degrees C"),
        "inner_diameter": Range(0.02, 3.0, "m"),
        "outer_diameter": Range(0.02, 5.0, "m"),
        "length": Range(0.001, 500.0, "m"),
        "height": Range(0.0, 500.0, "m"),
        "thermal_resistance": Range(0.0, 1e6, "m2K/W"),
        "roughness": Range(0.0, 0.05, "m"),
        "zeta": Range(0.0, 1e4, ""),
        "gas_constant": Range(150.0, 600.0, "J/(kg K)"),
        "heat_capacity": Range(400.0, 5000.0, "J/(kg K)"),
        "altitude": Range(-500.0, 9000.0, "m"),
        "outside_temperature": Range(-70.0, 60.0, "degrees C"),
        "surrounding_temperature": Range(-70.0, 1000.0, "degrees C"),
        "external_coefficient": Range(0.1, 1e6, "W/(m2 K)"),
        "flow_safety": Range(1.0, 5.0, ""),
        "correction": Range(0.0, 1.0, ""),
        "wind_pressure": Range(0.0, 500.0, "Pa"),
    }
)
#: Greatest roughness as a share of the diameter that Colebrook's relation was drawn for.
GREATEST_RELATIVE_ROUGHNESS = 0.05
#: Reynolds numbers of turbulent pipe flow: below, the lower one is used; above, nothing is known.
LEAST_REYNOLDS = 2300.0
GREATEST_REYNOLDS = 1e7


def check_in_range(name: str, value: float, label: str = "") -> None:
    """Refuse an input of the flue that the relations do not hold for.

    Parameters
    ----------
    name : str
        Input by its name in `RANGES` [-]
    value : float
        Its value [as in `RANGES`]
    label : str
        What the sentence calls it; "" takes the name [-]

    Raises
    ------
    ValueError
        If `value` is not a number or outside its range.

    Examples
    --------
    >>> check_in_range("zeta", -1.0)
    Traceback (most recent call last):
    ValueError: zeta: -1 is outside 0 to 10000
    """
    allowed = RANGES[name]
    if isinstance(value, bool) or not isinstance(value, int | float | Real):
        raise ValueError(f"{label or name}: {value!r} is not a number")
    if not allowed.least <= value <= allowed.greatest:
        if math.isnan(value):
            raise ValueError(f"{label or name}: {value} is not a number")
        unit = f" {allowed.unit}" if allowed.unit else ""
        raise ValueError(
            f"{label or name}: {value:g}{unit} is outside {allowed.least:g} to {allowed.greatest:g}{unit}"
        )
