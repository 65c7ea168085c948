"""The air outside: pressure of the standard atmosphere at the site's altitude."""

from __future__ import annotations

#: ISO 2533 constants of the lowest layer: sea-level pressure [Pa] and temperature [K], lapse rate [K/m],
#: exponent g/(R beta) [-] and the earth's nominal radius [m].
SEA_LEVEL_PRESSURE = 101325.0
SEA_LEVEL_TEMPERATURE = 288.15
LAPSE_RATE = 0.0065
PRESSURE_EXPONENT = 9.80665 / (287.05287 * LAPSE_RATE)
EARTH_RADIUS = 6356766.0

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
