"""The equations of `calcs.draft.solve_flue`, all at once, given to scipy's root finder."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from scipy.optimize import root

Inputs = Mapping[str, float]


def solve_with_scipy(flue: Inputs) -> dict[str, float]:
    """Solve for mean temperature and both frictions together; EN 13384-1 from memory, as written there."""
    start = np.array([flue["flue_gas_temperature"], 5.0, 5.5])
    found = root(_residuals, start, args=(flue,), method="hybr", options={"xtol": 1e-13})
    if not found.success:
        raise ArithmeticError(found.message)
    mean, inverse, _ = found.x
    return _answers(float(mean), float(inverse) ** -2, flue, _cooling(found.x, flue))


def _residuals(unknown: np.ndarray, flue: Inputs) -> list[float]:
    mean, inverse, inverse_smooth = unknown
    reynolds = max(_reynolds(mean, flue), 2300.0)
    relative = flue["roughness"] / (3.71 * flue["inner_diameter"])
    cooling = _cooling(unknown, flue)
    around, entry = flue["surrounding_temperature"], flue["flue_gas_temperature"]
    return [
        around + (entry - around) * -math.expm1(-cooling) / cooling - mean,
        -2 * math.log10(2.51 * inverse / reynolds + relative) - inverse,
        -2 * math.log10(2.51 * inverse_smooth / reynolds) - inverse_smooth,
    ]


def _viscosity(mean: float) -> float:
    return 15e-6 + 47e-9 * mean - 20e-12 * mean**2


def _reynolds(mean: float, flue: Inputs) -> float:
    return 4 * flue["mass_flow"] / (math.pi * flue["inner_diameter"] * _viscosity(mean))


def _cooling(unknown: np.ndarray, flue: Inputs) -> float:
    mean, inverse, inverse_smooth = (float(one) for one in unknown)
    diameter, length = flue["inner_diameter"], flue["length"]
    conductivity = 0.0223 + 0.000065 * mean
    prandtl = _viscosity(mean) * flue["heat_capacity"] / conductivity
    reynolds = max(_reynolds(mean, flue), 2300.0)
    nusselt = (
        (inverse_smooth / inverse) ** (2 * 0.67)
        * 0.0214 * (reynolds**0.8 - 100) * prandtl**0.4 * (1 + (diameter / length) ** 0.67)
    )  # fmt: skip
    inside = conductivity * nusselt / diameter
    outside = diameter / (flue["outer_diameter"] * flue["external_coefficient"])
    through = 1 / (1 / inside + 0.5 * (flue["thermal_resistance"] + outside))
    return math.pi * diameter * through * length / (flue["mass_flow"] * flue["heat_capacity"])


def _answers(mean: float, friction: float, flue: Inputs, cooling: float) -> dict[str, float]:
    diameter, around = flue["inner_diameter"], flue["surrounding_temperature"]
    kelvin = flue["outside_temperature"] + 273.15
    pressure = 97000 * math.exp(-9.81 * flue["altitude"] / (288 * kelvin))
    gas = pressure / (flue["gas_constant"] * (mean + 273.15))
    velocity = 4 * flue["mass_flow"] / (math.pi * diameter**2 * gas)
    draft = flue["height"] * 9.81 * (pressure / (288 * kelvin) - gas)
    resistance = 1.5 * (friction * flue["length"] / diameter + flue["zeta"]) * gas / 2 * velocity**2
    return {
        "mean_temperature": mean,
        "outlet_temperature": around + (flue["flue_gas_temperature"] - around) * math.exp(-cooling),
        "friction": friction,
        "velocity": velocity,
        "theoretical_draft": draft,
        "flow_resistance": resistance,
        "available_draft": draft - resistance,
    }
