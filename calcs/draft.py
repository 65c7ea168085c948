"""Draft: the pull of a column of warm flue gas against the cold air outside, and what is left of it."""

from __future__ import annotations

from calcs.atmosphere import GRAVITY, ICE_POINT
from calcs.flue_parts import FlueSegment, FlueSolution, SegmentedFlue, check_segment
from calcs.flue_ranges import check_in_range
from calcs.flue_segments import flow_through, solve_segment, solve_segments

__all__ = [
    "FlueSegment",
    "FlueSolution",
    "SegmentedFlue",
    "solve_flue",
    "solve_segments",
    "theoretical_draft",
]

#: Gas constant of dry air [J/(kg K)].
AIR_GAS_CONSTANT = 287.05


def theoretical_draft(
    height: float,
    flue_temperature: float,
    outside_temperature: float,
    pressure: float,
    gas_constant: float = AIR_GAS_CONSTANT,
) -> float:
    """Draft of a flue at rest, before friction takes its share.

    Parameters
    ----------
    height : float
        Height of the outlet above the appliance's collar [m]
    flue_temperature : float
        Mean temperature of the flue gas [degrees Celsius]
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]
    pressure : float
        Air pressure at the site [Pa]
    gas_constant : float
        Gas constant of the flue gas [J/(kg K)]

    Returns
    -------
    float
        Draft [Pa]; negative when the gas is heavier than the air outside

    Raises
    ------
    ValueError
        If `height` is negative, a temperature is at or below absolute zero, or `pressure` or
        `gas_constant` is not positive.

    Notes
    -----
    Ideal gases, one mean flue temperature, still air outside.

    Examples
    --------
    >>> round(theoretical_draft(20, 200, 0, 101325), 1)
    107.2

    References
    ----------
    EN 13384-1, clause 5.10, PH = H g (rhoL - rho_m) with the ideal-gas law, from memory.
    """
    if height < 0:
        raise ValueError(f"height: {height:g} m is negative")
    for name, temperature in (
        ("flue_temperature", flue_temperature),
        ("outside_temperature", outside_temperature),
    ):
        if temperature <= -ICE_POINT:
            raise ValueError(f"{name}: {temperature:g} degrees C is at or below absolute zero")
    for name, value in (("pressure", pressure), ("gas_constant", gas_constant)):
        if value <= 0:
            raise ValueError(f"{name}: {value:g} has to be positive")
    air_density = pressure / (AIR_GAS_CONSTANT * (outside_temperature + ICE_POINT))
    gas_density = pressure / (gas_constant * (flue_temperature + ICE_POINT))
    return height * GRAVITY * (air_density - gas_density)


def solve_flue(
    *,
    mass_flow: float,
    flue_gas_temperature: float,
    inner_diameter: float,
    outer_diameter: float,
    length: float,
    height: float,
    thermal_resistance: float,
    roughness: float,
    zeta: float,
    gas_constant: float,
    heat_capacity: float,
    altitude: float,
    outside_temperature: float,
    surrounding_temperature: float,
    external_coefficient: float,
    flow_safety: float = 1.5,
    correction: float = 0.5,
) -> FlueSolution:
    """Solve a uniform flue: how far the gas cools, how much draft that leaves, how warm the wall stays.

    Parameters
    ----------
    mass_flow : float
        Mass flow of the flue gas, from 0.00001 to 1000 [kg/s]
    flue_gas_temperature : float
        Temperature of the gas where it enters, from -50 to 1000 [degrees Celsius]
    inner_diameter : float
        Inner diameter, from 0.02 to 3 [m]
    outer_diameter : float
        Outer diameter, from 0.02 to 5, not under the inner one [m]
    length : float
        Length along the flue, from 0.001 to 500: it cools and slows the gas [m]
    height : float
        Height of the outlet over the entry, from 0 to 500: it draws [m]
    thermal_resistance : float
        Thermal resistance of the wall referred to the inner surface, from 0 to 1e+06 [m2K/W]
    roughness : float
        Mean roughness of the inner wall, from 0 to 0.05 and to 0.05 of the inner diameter [m]
    zeta : float
        Sum of the single resistances, from 0 to 10000 [-]
    gas_constant : float
        Gas constant of the flue gas, from 150 to 600 [J/(kg K)]
    heat_capacity : float
        Specific heat capacity of the flue gas, from 400 to 5000 [J/(kg K)]
    altitude : float
        Height of the site above mean sea level, from -500 to 9000 [m]
    outside_temperature : float
        Temperature of the outside air, from -70 to 60 [degrees Celsius]
    surrounding_temperature : float
        Temperature around the flue, from -70 to 1000 [degrees Celsius]
    external_coefficient : float
        Heat transfer coefficient outside, alpha_a, from 0.1 to 1e+06: 8 indoors, 23 outdoors [W/(m2 K)]
    flow_safety : float
        S_E, flow safety coefficient, from 1 to 5 [-]
    correction : float
        S_H, from 0 to 1: 0.5 for the pressure requirement, 1 at equilibrium for the temperature one [-]

    Returns
    -------
    FlueSolution
        Every value on the way; pressures in Pa, temperatures in degrees Celsius

    Raises
    ------
    ValueError
        If an input is not a number or outside its range; the sentence begins with its name.

    Notes
    -----
    pL = 97000 exp(-g z/(RL TL)), g = 9.81, RL = 288; properties at the mean temperature, iterated until it
    stands still. Below a Reynolds number of 2300 friction and heat transfer are those at 2300. The change
    of velocity along the flue is left out. `available_draft` is PH - PR, for still air outside.
    `wall_temperature_outlet` belongs to the `correction` asked for: hold it against the dew point with
    `correction=1`.

    Examples
    --------
    >>> flue = solve_flue(
    ...     mass_flow=0.0085, flue_gas_temperature=250, inner_diameter=0.15, outer_diameter=0.2, length=5,
    ...     height=5, thermal_resistance=0.4, roughness=0.001, zeta=1.5, gas_constant=295,
    ...     heat_capacity=1100, altitude=200, outside_temperature=0, surrounding_temperature=0,
    ...     external_coefficient=23,
    ... )
    >>> round(flue.theoretical_draft, 1), round(flue.flow_resistance, 1), round(flue.available_draft, 1)
    (26.0, 0.8, 25.1)

    References
    ----------
    EN 13384-1, clauses 5.7 to 5.12, from memory.
    """
    check_in_range("flue_gas_temperature", flue_gas_temperature)
    pipe = FlueSegment(
        name="flue",
        length=length,
        height=height,
        inner_diameter=inner_diameter,
        outer_diameter=outer_diameter,
        thermal_resistance=thermal_resistance,
        roughness=roughness,
        zeta=zeta,
        surrounding_temperature=surrounding_temperature,
        external_coefficient=external_coefficient,
    )
    check_segment(pipe)
    flow = flow_through(
        mass_flow=mass_flow,
        gas_constant=gas_constant,
        heat_capacity=heat_capacity,
        altitude=altitude,
        outside_temperature=outside_temperature,
        flow_safety=flow_safety,
        correction=correction,
    )
    return solve_segment(pipe, flow, flue_gas_temperature, length)
