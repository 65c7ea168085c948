"""Flue gas of a solid fuel from its ultimate analysis: what it is made of, how much of it there is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.atmosphere import ICE_POINT
from calcs.fuels import WOOD, FuelAnalysis

#: Universal gas constant [J/(mol K)] and molar volume at 0 degrees C and 101325 Pa [m3/mol].
UNIVERSAL_GAS_CONSTANT = 8.314462618
MOLAR_VOLUME = 0.022413969545
#: Molar masses [kg/mol]: CIAAW standard atomic weights, abridged.
CARBON, HYDROGEN, OXYGEN = 0.012011, 0.001008, 0.015999
CO2, H2O, O2 = CARBON + 2 * OXYGEN, 2 * HYDROGEN + OXYGEN, 2 * OXYGEN
SULPHUR = 0.03206
SO2 = SULPHUR + O2
#: Dry air: share of oxygen by volume, and its molar mass [kg/mol]. The rest counts as nitrogen.
OXYGEN_IN_AIR = 0.2095
AIR = 0.0289647
NITROGEN_OF_AIR = (AIR - OXYGEN_IN_AIR * O2) / (1 - OXYGEN_IN_AIR)
#: Molar heat capacity a + bT + cT2 + dT3 of ideal gases [J/(mol K)], T in K from 273 to 1800: the
#: polynomials in common use in textbooks of thermodynamics, from memory.
HEAT_CAPACITY_TERMS: Mapping[str, tuple[float, float, float, float]] = MappingProxyType(
    {
        "CO2": (22.26, 5.981e-2, -3.501e-5, 7.469e-9),
        "H2O": (32.24, 0.1923e-2, 1.055e-5, -3.595e-9),
        "N2": (28.90, -0.1571e-2, 0.8081e-5, -2.873e-9),
        "O2": (25.48, 1.520e-2, -0.7155e-5, 1.312e-9),
    }
)


@dataclass(frozen=True)
class FlueGas:
    """Flue gas of a kilogram of fuel as it is burnt. SI; volumes at 0 degrees C and 101325 Pa.

    `heat_capacity` is at the temperature it was asked for; `heat_capacity_at` gives it at any.
    """

    fuel: str
    moisture_wet: float
    co2_dry_percent: float
    oxygen_dry_percent: float
    air_ratio: float
    #: Shares by volume of the wet gas.
    co2_share: float
    water_vapour_share: float
    oxygen_share: float
    nitrogen_share: float
    molar_mass: float
    gas_constant: float
    heat_capacity: float
    #: a, b, c, d of the specific heat capacity a + bT + cT2 + dT3, T in K [J/(kg K)].
    heat_capacity_terms: tuple[float, float, float, float]
    dry_volume: float
    wet_volume: float
    #: Wet flue gas and combustion air for a kilogram of fuel [kg/kg].
    mass: float
    air_mass: float
    #: Of the fuel as it is burnt [J/kg].
    net_calorific_value: float

    def heat_capacity_at(self, temperature: float) -> float:
        """Specific heat capacity at a temperature in degrees Celsius [J/(kg K)]."""
        a, b, c, d = self.heat_capacity_terms
        kelvin = temperature + ICE_POINT
        return a + kelvin * (b + kelvin * (c + kelvin * d))

    def mass_flow(self, heat_output: float, efficiency: float) -> float:
        """Mass flow for a heat output in W at an efficiency by net calorific value [kg/s]."""
        if not heat_output > 0:
            raise ValueError(f"heat_output: {heat_output:g} W has to be positive")
        if not 0 < efficiency <= 1:
            raise ValueError(f"efficiency: {efficiency:g} is outside 0 to 1")
        return self.mass * heat_output / (efficiency * self.net_calorific_value)

    def vapour_pressure(self, pressure: float) -> float:
        """Partial pressure of the water vapour at an air pressure [Pa]."""
        return self.water_vapour_share * pressure

    def dew_point(self, pressure: float) -> float:
        """Temperature at which water falls out at an air pressure in Pa [degrees Celsius]."""
        return dew_point(self.vapour_pressure(pressure))


def dry_to_wet_basis(u: float) -> float:
    """Moisture as a share of the wet mass, from what a moisture meter reads.

    Parameters
    ----------
    u : float
        Water over dry mass [-]

    Returns
    -------
    float
        Water over wet mass [-]

    Raises
    ------
    ValueError
        If `u` is not a number or negative.

    Notes
    -----
    wet = dry/(1 + dry). Both are shares: 0.25 for 25 %.

    Examples
    --------
    >>> dry_to_wet_basis(0.25)
    0.2

    References
    ----------
    Definition of the two bases; common practice.
    """
    if not 0 <= u < math.inf:
        raise ValueError(f"u: a moisture of {u} is no share of the dry mass; write 0.25 for 25 %")
    return u / (1 + u)


def dew_point(vapour_pressure: float) -> float:
    """Temperature at which water vapour of a pressure begins to fall out.

    Parameters
    ----------
    vapour_pressure : float
        Partial pressure of the water vapour, pD [Pa]

    Returns
    -------
    float
        Dew point [degrees Celsius]

    Raises
    ------
    ValueError
        If `vapour_pressure` is outside 100 to 110000 Pa.

    Notes
    -----
    4077.9/(23.6448 - ln pD) - 236.67; within 0.2 K of the saturation line from 0 to 100 degrees.

    Examples
    --------
    >>> round(dew_point(101325), 1), round(dew_point(9700), 1)
    (99.8, 45.2)

    References
    ----------
    EN 13384-1, annex B, from memory.
    """
    if not 100.0 <= vapour_pressure <= 110_000.0:
        raise ValueError(f"vapour_pressure: {vapour_pressure:g} Pa is outside 100 to 110000 Pa")
    return 4077.9 / (23.6448 - math.log(vapour_pressure)) - 236.67


def co2_at_oxygen(oxygen_dry_percent: float, fuel: FuelAnalysis = WOOD) -> float:
    """Carbon dioxide in the dry gas that goes with an oxygen content.

    Parameters
    ----------
    oxygen_dry_percent : float
        Oxygen in the dry gas by volume, from 0 to below 20.95 [%]
    fuel : FuelAnalysis
        The fuel

    Returns
    -------
    float
        Carbon dioxide in the dry gas by volume [%]

    Raises
    ------
    ValueError
        If `oxygen_dry_percent` is outside its range.

    Notes
    -----
    Type tests of room heaters refer their figures to 13 % oxygen.

    Examples
    --------
    >>> round(co2_at_oxygen(13.0), 1)
    7.8

    References
    ----------
    Stoichiometry; EN 16510-1 for the reference of 13 %, from memory.
    """
    whole = 100 * OXYGEN_IN_AIR
    if not 0 <= oxygen_dry_percent < whole:
        raise ValueError(f"oxygen_dry_percent: {oxygen_dry_percent:g} % is outside 0 to {whole:g} %")
    return greatest_co2(fuel) * (whole - oxygen_dry_percent) / whole


def greatest_co2(fuel: FuelAnalysis = WOOD) -> float:
    """Carbon dioxide in the dry gas when there is just enough air.

    Parameters
    ----------
    fuel : FuelAnalysis
        The fuel

    Returns
    -------
    float
        Carbon dioxide in the dry gas by volume, sulphur dioxide counted with it [%]

    Examples
    --------
    >>> round(greatest_co2(), 1)
    20.5

    References
    ----------
    Stoichiometry.
    """
    acid = fuel.carbon / CARBON + fuel.sulphur / SULPHUR
    nitrogen = _oxygen_needed(fuel) * (1 - OXYGEN_IN_AIR) / OXYGEN_IN_AIR
    return 100 * acid / (acid + nitrogen)


def _oxygen_needed(fuel: FuelAnalysis) -> float:
    """Oxygen to burn a kilogram of the dry fuel, beyond its own [mol]."""
    burnt = fuel.carbon / CARBON + fuel.hydrogen / (4 * HYDROGEN) + fuel.sulphur / SULPHUR
    return burnt - fuel.oxygen / O2


def flue_gas(
    fuel: FuelAnalysis,
    moisture_wet: float,
    co2_dry_percent: float,
    *,
    temperature: float = 200.0,
    air_humidity: float = 0.0,
) -> FlueGas:
    """Flue gas of a fuel, complete combustion, from its ultimate analysis.

    Parameters
    ----------
    fuel : FuelAnalysis
        Analysis of the dry mass
    moisture_wet : float
        Water over wet mass of the fuel, from 0 to 0.65 [-]
    co2_dry_percent : float
        Carbon dioxide in the dry flue gas by volume, from 1 to what just enough air gives [%]
    temperature : float
        Temperature at which `heat_capacity` is given, from -50 to 1000 [degrees Celsius]
    air_humidity : float
        Water in the combustion air, from 0 to 0.05 of its dry mass [-]

    Returns
    -------
    FlueGas
        Composition, gas constant, heat capacity, volumes and masses

    Raises
    ------
    ValueError
        If an input is outside its range; the sentence begins with its name.

    Notes
    -----
    Carbon burns to CO2 and hydrogen to water; sulphur dioxide, where there is any, counts as CO2. Air is
    20.95 % oxygen by volume, the rest nitrogen with the molar mass that gives air its own.

    Examples
    --------
    >>> gas = flue_gas(WOOD, 0.2, 10.0)
    >>> round(gas.air_ratio, 2), round(gas.water_vapour_share, 3), round(gas.gas_constant, 1)
    (2.05, 0.095, 286.7)

    References
    ----------
    Stoichiometry.
    """
    _check(fuel, moisture_wet, co2_dry_percent, temperature, air_humidity)
    dry_mass = 1 - moisture_wet
    acid = dry_mass * (fuel.carbon / CARBON + fuel.sulphur / SULPHUR)
    needed = dry_mass * _oxygen_needed(fuel)
    dry = acid / (co2_dry_percent / 100)
    # Each mole of oxygen that is used up by carbon comes back as one of CO2; what hydrogen takes is gone.
    air = dry - acid + needed
    oxygen = max(0.0, air * OXYGEN_IN_AIR - needed)
    nitrogen = air * (1 - OXYGEN_IN_AIR)
    water = dry_mass * fuel.hydrogen / (2 * HYDROGEN) + moisture_wet / H2O + air * AIR * air_humidity / H2O
    wet = dry + water
    amounts = {"CO2": acid, "H2O": water, "N2": nitrogen, "O2": oxygen}
    mass = acid * CO2 + water * H2O + nitrogen * NITROGEN_OF_AIR + oxygen * O2
    terms = _mixed(amounts, mass)
    kelvin = temperature + ICE_POINT
    return FlueGas(
        fuel=fuel.name,
        moisture_wet=moisture_wet,
        co2_dry_percent=co2_dry_percent,
        oxygen_dry_percent=100 * oxygen / dry,
        air_ratio=air * OXYGEN_IN_AIR / needed,
        co2_share=acid / wet,
        water_vapour_share=water / wet,
        oxygen_share=oxygen / wet,
        nitrogen_share=nitrogen / wet,
        molar_mass=mass / wet,
        gas_constant=UNIVERSAL_GAS_CONSTANT * wet / mass,
        heat_capacity=math.fsum(term * kelvin**power for power, term in enumerate(terms)),
        heat_capacity_terms=terms,
        dry_volume=dry * MOLAR_VOLUME,
        wet_volume=wet * MOLAR_VOLUME,
        mass=mass,
        air_mass=air * AIR * (1 + air_humidity),
        net_calorific_value=fuel.net_calorific_value_at(moisture_wet),
    )


def _mixed(amounts: Mapping[str, float], mass: float) -> tuple[float, float, float, float]:
    a, b, c, d = (
        math.fsum(amount * HEAT_CAPACITY_TERMS[name][power] for name, amount in amounts.items()) / mass
        for power in range(4)
    )
    return a, b, c, d


def _check(
    fuel: FuelAnalysis, moisture_wet: float, co2_dry_percent: float, temperature: float, air_humidity: float
) -> None:
    most = greatest_co2(fuel)
    ranges = (
        ("moisture_wet", moisture_wet, 0.0, 0.65, ""),
        ("co2_dry_percent", co2_dry_percent, 1.0, most, " %"),
        ("temperature", temperature, -50.0, 1000.0, " degrees C"),
        ("air_humidity", air_humidity, 0.0, 0.05, ""),
    )
    for name, value, least, greatest, unit in ranges:
        if not least <= value <= greatest * (1 + 1e-9):
            raise ValueError(f"{name}: {value:g}{unit} is outside {least:g} to {greatest:.4g}{unit}")


def wood_flue_gas(
    moisture_wet: float, co2_dry_percent: float, *, temperature: float = 200.0, air_humidity: float = 0.0
) -> FlueGas:
    """Flue gas of wood: 50 % carbon, 6 % hydrogen and 44 % oxygen of the dry mass, 18.4 MJ/kg.

    Parameters
    ----------
    moisture_wet : float
        Water over wet mass of the wood, from 0 to 0.65 [-]
    co2_dry_percent : float
        Carbon dioxide in the dry flue gas by volume, from 1 to 20.5 [%]
    temperature : float
        Temperature at which `heat_capacity` is given, from -50 to 1000 [degrees Celsius]
    air_humidity : float
        Water in the combustion air, from 0 to 0.05 of its dry mass [-]

    Returns
    -------
    FlueGas
        Composition, gas constant, heat capacity, volumes and masses

    Raises
    ------
    ValueError
        If an input is outside its range; the sentence begins with its name.

    Examples
    --------
    >>> gas = wood_flue_gas(0.2, 10.0)
    >>> round(gas.net_calorific_value / 1e6, 2), round(gas.mass_flow(7000, 0.75) * 1000, 1)
    (14.23, 7.0)
    >>> round(gas.dew_point(97000), 1)
    44.2

    References
    ----------
    Ultimate analysis of wood, common practice; stoichiometry.
    """
    return flue_gas(WOOD, moisture_wet, co2_dry_percent, temperature=temperature, air_humidity=air_humidity)
