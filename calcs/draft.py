"""Draft: the pull of a column of warm flue gas against the cold air outside."""

from __future__ import annotations

#: Acceleration of gravity as EN 13384-1 rounds it [m/s2].
GRAVITY = 9.81
#: Gas constant of dry air [J/(kg K)].
AIR_GAS_CONSTANT = 287.05
#: 0 degrees Celsius [K].
ICE_POINT = 273.15


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
