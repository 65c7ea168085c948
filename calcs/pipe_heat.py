"""Heat in a round pipe and through its wall, one relation at a time.

Temperatures are in degrees Celsius. Inputs are held against `calcs.flue_ranges` before they get here.
"""

from __future__ import annotations

import math

from calcs.flue_ranges import LEAST_REYNOLDS


def conductivity(temperature: float) -> float:
    """Thermal conductivity of flue gas, lambda.

    Parameters
    ----------
    temperature : float
        Mean temperature of the gas [degrees Celsius]

    Returns
    -------
    float
        Thermal conductivity [W/(m K)]

    Notes
    -----
    Within 4 % of a wood flue gas up to 1000 degrees.

    Examples
    --------
    >>> round(conductivity(200), 4)
    0.0353

    References
    ----------
    EN 13384-1, annex B, from memory.
    """
    return 0.0223 + 0.000065 * temperature


def prandtl_number(viscosity: float, heat_capacity: float, conductivity: float) -> float:
    """Prandtl number of the gas, Pr = eta cp / lambda.

    Parameters
    ----------
    viscosity : float
        Dynamic viscosity [N s/m2]
    heat_capacity : float
        Specific heat capacity [J/(kg K)]
    conductivity : float
        Thermal conductivity [W/(m K)]

    Returns
    -------
    float
        Prandtl number [-]

    Examples
    --------
    >>> round(prandtl_number(23.6e-6, 1100.0, 0.0353), 3)
    0.735

    References
    ----------
    EN 13384-1, clause 5.8, from memory.
    """
    return viscosity * heat_capacity / conductivity


def nusselt_number(
    reynolds: float, prandtl: float, friction: float, friction_smooth: float, diameter_over_length: float
) -> float:
    """Nusselt number inside the flue.

    Parameters
    ----------
    reynolds : float
        Reynolds number; below 2300 the number at 2300 is given [-]
    prandtl : float
        Prandtl number [-]
    friction : float
        Friction factor of the pipe [-]
    friction_smooth : float
        Friction factor of a hydraulically smooth pipe [-]
    diameter_over_length : float
        Inner diameter over the whole length from where the gas enters [-]

    Returns
    -------
    float
        Nusselt number [-]

    Notes
    -----
    Nu = (psi/psi_smooth)^0.67 0.0214 (Re^0.8 - 100) Pr^0.4 (1 + (D/L)^0.67). The standard gives it for
    0.6 < Pr < 1.5 and Reynolds numbers up to 10 million.

    Examples
    --------
    >>> round(nusselt_number(5000.0, 0.73, 0.045, 0.0374, 0.03), 1)
    19.0

    References
    ----------
    EN 13384-1, clause 5.8.3, from memory.
    """
    reynolds = max(reynolds, LEAST_REYNOLDS)
    return float(
        (friction / friction_smooth) ** 0.67
        * 0.0214
        * (reynolds**0.8 - 100)
        * prandtl**0.4
        * (1 + diameter_over_length**0.67)
    )


def inner_coefficient(conductivity: float, nusselt: float, diameter: float) -> float:
    """Heat transfer coefficient inside the flue, alpha_i = lambda Nu / D.

    Parameters
    ----------
    conductivity : float
        Thermal conductivity [W/(m K)]
    nusselt : float
        Nusselt number [-]
    diameter : float
        Inner diameter [m]

    Returns
    -------
    float
        Heat transfer coefficient [W/(m2 K)]

    Examples
    --------
    >>> round(inner_coefficient(0.0353, 17.7, 0.15), 2)
    4.17

    References
    ----------
    EN 13384-1, clause 5.8.3, from memory.
    """
    return conductivity * nusselt / diameter


def transmittance(
    inner_coefficient: float,
    thermal_resistance: float,
    diameters: float,
    external_coefficient: float,
    correction: float,
) -> float:
    """Heat lost through the flue's wall, k, referred to its inner surface.

    Parameters
    ----------
    inner_coefficient : float
        Heat transfer coefficient inside [W/(m2 K)]
    thermal_resistance : float
        Thermal resistance of the wall, referred to the inner surface [m2K/W]
    diameters : float
        Inner over outer diameter [-]
    external_coefficient : float
        Heat transfer coefficient outside, alpha_a [W/(m2 K)]
    correction : float
        S_H: 0.5 while the flue is still warming up, 1 at equilibrium [-]

    Returns
    -------
    float
        Thermal transmittance [W/(m2 K)]

    Notes
    -----
    k = 1/(1/alpha_i + S_H (1/Lambda + D/(D_outer alpha_a))).

    Examples
    --------
    >>> round(transmittance(4.17, 0.4, 0.6, 8.0, 1.0), 3)
    1.399

    References
    ----------
    EN 13384-1, clause 5.8.2, from memory.
    """
    outside = thermal_resistance + diameters / external_coefficient
    return 1 / (1 / inner_coefficient + correction * outside)


def cooling_number(
    diameter: float, transmittance: float, length: float, mass_flow: float, heat_capacity: float
) -> float:
    """Coefficient of cooling, K = pi D k L / (m cp).

    Parameters
    ----------
    diameter : float
        Inner diameter [m]
    transmittance : float
        Thermal transmittance [W/(m2 K)]
    length : float
        Length of the flue [m]
    mass_flow : float
        Mass flow [kg/s]
    heat_capacity : float
        Specific heat capacity [J/(kg K)]

    Returns
    -------
    float
        Coefficient of cooling [-]

    Examples
    --------
    >>> round(cooling_number(0.15, 1.4, 5.0, 0.0085, 1100.0), 3)
    0.353

    References
    ----------
    EN 13384-1, clause 5.8.1, from memory.
    """
    return math.pi * diameter * transmittance * length / (mass_flow * heat_capacity)


def mean_temperature(entry: float, surroundings: float, cooling: float) -> float:
    """Mean temperature of the gas over the length, Tm = Tu + (Te - Tu)/K (1 - e^-K).

    Parameters
    ----------
    entry : float
        Temperature of the gas where it enters [degrees Celsius]
    surroundings : float
        Temperature around the flue [degrees Celsius]
    cooling : float
        Coefficient of cooling, above 0 [-]

    Returns
    -------
    float
        Mean temperature [degrees Celsius]

    Examples
    --------
    >>> round(mean_temperature(250.0, 20.0, 0.35), 1)
    214.1

    References
    ----------
    EN 13384-1, clause 5.8.1, from memory.
    """
    return surroundings - (entry - surroundings) / cooling * math.expm1(-cooling)


def outlet_temperature(entry: float, surroundings: float, cooling: float) -> float:
    """Temperature of the gas where it leaves, To = Tu + (Te - Tu) e^-K.

    Parameters
    ----------
    entry : float
        Temperature of the gas where it enters [degrees Celsius]
    surroundings : float
        Temperature around the flue [degrees Celsius]
    cooling : float
        Coefficient of cooling [-]

    Returns
    -------
    float
        Temperature at the outlet [degrees Celsius]

    Examples
    --------
    >>> round(outlet_temperature(250.0, 20.0, 0.35), 1)
    182.1

    References
    ----------
    EN 13384-1, clause 5.8.1, from memory.
    """
    return surroundings + (entry - surroundings) * math.exp(-cooling)


def wall_temperature(
    outlet: float, surroundings: float, transmittance: float, inner_coefficient: float
) -> float:
    """Temperature of the flue's inner wall at the outlet, Tiob = To - k/alpha_i (To - Tu).

    Parameters
    ----------
    outlet : float
        Temperature of the gas at the outlet [degrees Celsius]
    surroundings : float
        Temperature around the outlet [degrees Celsius]
    transmittance : float
        Thermal transmittance at the outlet [W/(m2 K)]
    inner_coefficient : float
        Heat transfer coefficient inside [W/(m2 K)]

    Returns
    -------
    float
        Temperature of the wall [degrees Celsius]

    Notes
    -----
    The standard asks for it at equilibrium, with S_H = 1 in the transmittance.

    Examples
    --------
    >>> round(wall_temperature(180.0, 0.0, 1.4, 4.2), 1)
    120.0

    References
    ----------
    EN 13384-1, clause 5.12, from memory.
    """
    return outlet - transmittance / inner_coefficient * (outlet - surroundings)
