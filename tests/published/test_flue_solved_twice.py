"""The flue solved a second way: the relations of the standard as one system of equations for scipy.

EN 13384-1, from memory: every relation is written out again here, none is taken from the program.
"""

import math

import pytest
from hypothesis import given
from scipy.optimize import brentq, root

from calcs.draft import solve_flue
from tests.calcs.flues import FLUE, any_flue

KELVIN = 273.15


def _friction(reynolds, roughness, diameter):
    """Colebrook's relation by bisection on the friction factor itself."""

    def off(psi):
        return 1 / math.sqrt(psi) + 2 * math.log10(
            2.51 / (reynolds * math.sqrt(psi)) + roughness / (3.71 * diameter)
        )

    return brentq(off, 1e-4, 1.0, xtol=1e-15, rtol=1e-14)


def _state(flue, mean):
    """Everything that follows from a mean temperature in kelvin, down to the mean temperature it leads to."""
    celsius, diameter, length = mean - KELVIN, flue["inner_diameter"], flue["length"]
    eta = 15e-6 + 47e-9 * celsius - 20e-12 * celsius**2
    lam = 0.0223 + 0.000065 * celsius
    outside = flue["outside_temperature"] + KELVIN
    pressure = 97000 * math.exp(-9.81 * flue["altitude"] / (288 * outside))
    density = pressure / (flue["gas_constant"] * mean)
    velocity = flue["mass_flow"] / (density * math.pi * diameter**2 / 4)
    reynolds = velocity * diameter * density / eta
    counted = max(2300.0, reynolds)
    psi, smooth = _friction(counted, flue["roughness"], diameter), _friction(counted, 0.0, diameter)
    prandtl = eta * flue["heat_capacity"] / lam
    nusselt = (
        (psi / smooth) ** 0.67
        * 0.0214
        * (counted**0.8 - 100)
        * prandtl**0.4
        * (1 + (diameter / length) ** 0.67)
    )
    alpha = lam * nusselt / diameter
    wall = flue["thermal_resistance"] + diameter / (flue["outer_diameter"] * flue["external_coefficient"])
    k = 1 / (1 / alpha + flue.get("correction", 0.5) * wall)
    cooling = math.pi * diameter * k * length / (flue["mass_flow"] * flue["heat_capacity"])
    entry, around = flue["flue_gas_temperature"] + KELVIN, flue["surrounding_temperature"] + KELVIN
    outlet = around + (entry - around) * math.exp(-cooling)
    air = pressure / (288 * outside)
    draft = flue["height"] * 9.81 * (air - density)
    resistance = (
        flue.get("flow_safety", 1.5) * (psi * length / diameter + flue["zeta"]) * density / 2 * velocity**2
    )
    return {
        "leads_to": around + (entry - around) / cooling * (1 - math.exp(-cooling)),
        "outside_pressure": pressure,
        "air_density": air,
        "mean_temperature": celsius,
        "gas_density": density,
        "velocity": velocity,
        "reynolds": reynolds,
        "prandtl": prandtl,
        "friction": psi,
        "friction_smooth": smooth,
        "nusselt": nusselt,
        "inner_coefficient": alpha,
        "transmittance": k,
        "cooling": cooling,
        "outlet_temperature": outlet - KELVIN,
        "theoretical_draft": draft,
        "flow_resistance": resistance,
        "available_draft": draft - resistance,
        "wall_temperature_outlet": outlet - k / alpha * (outlet - around) - KELVIN,
    }


def _solved(flue):
    """Root of the one unknown, found by scipy between the temperatures of gas and surroundings."""
    ends = sorted((flue["flue_gas_temperature"] + KELVIN, flue["surrounding_temperature"] + KELVIN))
    mean = brentq(lambda mean: _state(flue, mean)["leads_to"] - mean, *ends, xtol=1e-11, rtol=1e-14)
    return _state(flue, mean)


# scipy's brentq on the mean temperature, over flues of all sizes.
@given(any_flue)
def test_every_value_agrees_with_the_second_implementation(flue):
    found = solve_flue(**flue)
    for name, value in _solved(flue).items():
        if name != "leads_to":
            assert getattr(found, name) == pytest.approx(value, rel=1e-6, abs=1e-6), name


# scipy's root on friction, heat transfer and temperature together, as a system of three unknowns.
@pytest.mark.parametrize("correction", [0.5, 1.0])
def test_friction_heat_and_temperature_solved_at_once_give_the_same(correction):
    flue = {**FLUE, "correction": correction}

    def off(unknown):
        mean, psi, smooth = unknown[0] * 500, unknown[1] / 10, unknown[2] / 10
        state = _state(flue, mean)
        counted = max(2300.0, state["reynolds"])
        rough = flue["roughness"] / (3.71 * flue["inner_diameter"])
        return [
            (state["leads_to"] - mean) / 500,
            1 / math.sqrt(psi) + 2 * math.log10(2.51 / (counted * math.sqrt(psi)) + rough),
            1 / math.sqrt(smooth) + 2 * math.log10(2.51 / (counted * math.sqrt(smooth))),
        ]

    together = root(off, [1.0, 0.5, 0.4], tol=1e-12)
    assert together.success
    found = solve_flue(**flue)
    assert together.x[0] * 500 - KELVIN == pytest.approx(found.mean_temperature, abs=1e-5)
    assert together.x[1] / 10 == pytest.approx(found.friction, rel=1e-8)
    assert together.x[2] / 10 == pytest.approx(found.friction_smooth, rel=1e-8)
