"""The air outside: its pressure at the site's altitude, and its density."""

from __future__ import annotations

import math

#: ISO 2533 constants of the lowest layer: sea-level pressure [Pa] and temperature [K], lapse rate [K/m],
#: exponent g/(R beta) [-] and the earth's nominal radius [m].
SEA_LEVEL_PRESSURE = 101325.0
SEA_LEVEL_TEMPERATURE = 288.15
LAPSE_RATE = 0.0065
PRESSURE_EXPONENT = 9.80665 / (287.05287 * LAPSE_RATE)
EARTH_RADIUS = 6356766.0

#: What the flue standard reckons with: air pressure at the sea in poor weather [Pa], gas constant of the air
#: outside [J/(kg K)] and gravity [m/s2]. EN 13384-1, from memory.
POOR_WEATHER_PRESSURE = 97000.0
OUTSIDE_GAS_CONSTANT = 288.0
GRAVITY = 9.81
#: 0 degrees Celsius [K].
ICE_POINT = 273.15

#: Range of the relation [m]: from the table's foot to the top of the lowest layer.
LOWEST_ALTITUDE = -2000.0
HIGHEST_ALTITUDE = 11000.0


def pressure_at_altitude(metres: float) -> float:
    """Air pressure of the standard atmosphere.

    Parameters
    ----------
    metres : float
        Height above mean sea level [m]

    Returns
    -------
    float
        Pressure [Pa]

    Raises
    ------
    ValueError
        If `metres` is outside -2000 to 11000.

    Notes
    -----
    Valid in the lowest layer of the atmosphere, where temperature falls evenly with height. Weather moves
    the real pressure by a few per cent about this value.

    Examples
    --------
    >>> round(pressure_at_altitude(0))
    101325
    >>> round(pressure_at_altitude(1500))
    84560

    References
    ----------
    ISO 2533:1975, clause 2, constants and barometric relation, from memory.
    """
    if not LOWEST_ALTITUDE <= metres <= HIGHEST_ALTITUDE:
        raise ValueError(
            f"metres: an altitude of {metres:g} m is outside {LOWEST_ALTITUDE:g} to {HIGHEST_ALTITUDE:g} m"
        )
    geopotential = EARTH_RADIUS * metres / (EARTH_RADIUS + metres)
    temperature_ratio = 1.0 - LAPSE_RATE * geopotential / SEA_LEVEL_TEMPERATURE
    return float(SEA_LEVEL_PRESSURE * temperature_ratio**PRESSURE_EXPONENT)


def outside_pressure(altitude: float, outside_temperature: float) -> float:
    """Pressure of the outside air a flue is reckoned with, on the low side of the weather.

    Parameters
    ----------
    altitude : float
        Height of the site above mean sea level [m]
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]

    Returns
    -------
    float
        Pressure [Pa]

    Notes
    -----
    pL = 97000 exp(-g z/(RL TL)): about 4 % below the standard atmosphere at the sea.

    Examples
    --------
    >>> round(outside_pressure(0.0, 15.0)), round(outside_pressure(200.0, 15.0))
    (97000, 94734)

    References
    ----------
    EN 13384-1, clause 5.7.2, from memory.
    """
    kelvin = outside_temperature + ICE_POINT
    return POOR_WEATHER_PRESSURE * math.exp(-GRAVITY * altitude / (OUTSIDE_GAS_CONSTANT * kelvin))


def gas_density(pressure: float, temperature: float, gas_constant: float = OUTSIDE_GAS_CONSTANT) -> float:
    """Density of a gas, rho = p/(R T).

    Parameters
    ----------
    pressure : float
        Pressure [Pa]
    temperature : float
        Temperature [degrees Celsius]
    gas_constant : float
        Gas constant, by default that of the air outside [J/(kg K)]

    Returns
    -------
    float
        Density [kg/m3]

    Examples
    --------
    >>> round(gas_density(97000.0, 15.0), 4)
    1.1689

    References
    ----------
    EN 13384-1, clause 5.7.3, from memory; ideal gas.
    """
    return pressure / (gas_constant * (temperature + ICE_POINT))
