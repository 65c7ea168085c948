"""What burns at each output: mass flow, temperature and gas."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from calcs.flue_fittings import LEAST_FLOW_SHARE, LEAST_TEMPERATURE_SHARE
from calcs.flue_parts import FlueSegment, SegmentedFlue
from calcs.flue_segments import solve_segments
from calcs.fluegas import FlueGas, co2_at_oxygen, flue_gas
from calcs.fuels import FUELS
from calcs.survey import Appliance, Survey

#: Oxygen that type tests refer their figures to [%], and moisture of wood that may be burnt [-].
REFERENCE_OXYGEN = 13.0
USUAL_MOISTURE = 0.2


@dataclass(frozen=True)
class Firing:
    """An output the appliance is burnt at. SI, degrees Celsius; drafts in Pa, None where not known."""

    #: nominal | least
    name: str
    mass_flow: float
    #: sheet | output | estimate: read, reckoned from output and efficiency, or as the standard estimates.
    mass_flow_from: str
    gas_temperature: float
    gas: FlueGas
    least_draft: float | None
    #: Whether the sheet gives no figures for it, so that those of the standard were taken.
    estimated: bool = False


class Taken:
    """Values with what stands in for those nobody gave, and the names of these."""

    def __init__(self) -> None:
        self.names: list[str] = []

    def or_else(self, name: str, value: float | None, instead: float) -> float:
        """Return the value, or what stands in for it after noting its name."""
        if value is not None:
            return value
        self.names.append(name)
        return instead


def firings_of(survey: Survey, appliance: Appliance, taken: Taken | None = None) -> tuple[Firing, ...]:
    """Find what flows at nominal output and at the least.

    Parameters
    ----------
    survey : Survey
        What was measured; gives the fuel's moisture
    appliance : Appliance
        Listing data of the appliance
    taken : Taken, optional
        Receives the names of what nobody gave

    Returns
    -------
    tuple of Firing
        Nominal, then least where the sheet has one; empty where temperature or mass flow cannot be found

    Notes
    -----
    The sheet's mass flow goes first; without one it follows from output, efficiency and carbon dioxide.
    Without carbon dioxide, that of 13 % oxygen is taken, which type tests refer to. A least output without
    its own figures has the nominal mass flow in proportion to the output, or a third of it, and two thirds
    of the nominal temperature in degrees Celsius.

    Examples
    --------
    >>> sheet = Appliance(flue_gas_temperature=260.0, flue_gas_mass_flow=0.0085, minimum_output=4000.0)
    >>> nominal, least = firings_of(Survey(), sheet)
    >>> least.name, round(least.mass_flow, 4), round(least.gas_temperature)
    ('least', 0.0028, 173)

    References
    ----------
    EN 13384-1, clause 5.5, from memory; EN 16510-1 for 13 % oxygen, from memory.
    """
    taken = taken or Taken()
    if appliance.flue_gas_temperature is None:
        return ()
    gas = _gas(survey, appliance, taken)
    flow, origin = appliance.flue_gas_mass_flow, "sheet"
    if flow is None:
        if not appliance.nominal_output or not appliance.efficiency:
            return ()
        flow, origin = gas.mass_flow(appliance.nominal_output, appliance.efficiency), "output"
    nominal = Firing("nominal", flow, origin, appliance.flue_gas_temperature, gas, appliance.least_draft)
    if not flow:
        return ()
    return tuple(one for one in (nominal, _least(appliance, nominal, taken)) if one is not None)


def _gas(survey: Survey, appliance: Appliance, taken: Taken) -> FlueGas:
    fuel = FUELS[appliance.fuel]
    moisture = taken.or_else("survey.fuel_moisture", survey.fuel_moisture, USUAL_MOISTURE)
    share = appliance.flue_gas_co2
    usual = co2_at_oxygen(REFERENCE_OXYGEN, fuel)
    co2 = taken.or_else("appliance.flue_gas_co2", None if share is None else 100 * share, usual)
    return flue_gas(fuel, moisture, co2, temperature=appliance.flue_gas_temperature or 0.0)


def _least(appliance: Appliance, nominal: Firing, taken: Taken) -> Firing | None:
    output, full = appliance.minimum_output, appliance.nominal_output
    flow, temperature = appliance.minimum_gas_mass_flow, appliance.minimum_gas_temperature
    if not output and not flow and temperature is None:
        return None
    share = output / full if output and full and output < full else LEAST_FLOW_SHARE
    warmth = taken.or_else(
        "appliance.minimum_gas_temperature", temperature, nominal.gas_temperature * LEAST_TEMPERATURE_SHARE
    )
    mass = taken.or_else("appliance.minimum_gas_mass_flow", flow or None, nominal.mass_flow * share)
    return replace(
        nominal,
        name="least",
        mass_flow=mass,
        mass_flow_from="sheet" if flow else "estimate",
        gas_temperature=warmth,
        gas=replace(nominal.gas, heat_capacity=nominal.gas.heat_capacity_at(warmth)),
        least_draft=appliance.minimum_output_draft,
        estimated=not flow or temperature is None,
    )


def solve_firing(
    firing: Firing,
    segments: Sequence[FlueSegment],
    *,
    altitude: float,
    outside_temperature: float,
    wind: float = 0.0,
    correction: float = 0.5,
) -> SegmentedFlue:
    """Solve the flue at one output on one day.

    Parameters
    ----------
    firing : Firing
        What flows
    segments : sequence of FlueSegment
        The flue
    altitude : float
        Height of the site above mean sea level [m]
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]
    wind : float
        Pressure of the wind on the outlet [Pa]
    correction : float
        S_H: 0.5 for the pressure requirement, 1 for the temperature requirement [-]

    Returns
    -------
    SegmentedFlue
        Each segment's values, and the whole flue's

    Raises
    ------
    ValueError
        If an input is outside its range in `calcs.flue_ranges`.

    References
    ----------
    EN 13384-1, clauses 5.7 to 5.12, from memory.
    """
    return solve_segments(
        segments,
        mass_flow=firing.mass_flow,
        flue_gas_temperature=firing.gas_temperature,
        gas_constant=firing.gas.gas_constant,
        heat_capacity=firing.gas.heat_capacity_at,
        altitude=altitude,
        outside_temperature=outside_temperature,
        correction=correction,
        wind_pressure=wind,
    )
