"""Flow and heat in a round pipe, one relation at a time: what `calcs.flue_segments` is put together from.

Temperatures are in degrees Celsius. Inputs are held against `calcs.flue_ranges` before they get here.
"""

from __future__ import annotations

import math

from calcs.flue_ranges import GREATEST_RELATIVE_ROUGHNESS, LEAST_REYNOLDS

_COLEBROOK_TOLERANCE = 1e-13
_MOST_ROUNDS = 50


def viscosity(temperature: float) -> float:
    """Dynamic viscosity of flue gas, eta.

    Parameters
    ----------
    temperature : float
        Mean temperature of the gas [degrees Celsius]

    Returns
    -------
    float
        Dynamic viscosity [N s/m2]

    Notes
    -----
    Meant for flue gas with its water vapour: within 5 % of a wood gas up to 500 degrees and 10 % at 800;
    dry air is some 10 % more viscous.

    Examples
    --------
    >>> round(viscosity(200) * 1e6, 1)
    23.6

    References
    ----------
    EN 13384-1, annex B, from memory.
    """
    return 15e-6 + 47e-9 * temperature - 20e-12 * temperature * temperature


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


def reynolds_number(mass_flow: float, diameter: float, viscosity: float) -> float:
    """Reynolds number, Re = w D rho / eta with w rho = 4 m / (pi D2).

    Parameters
    ----------
    mass_flow : float
        Mass flow [kg/s]
    diameter : float
        Inner diameter [m]
    viscosity : float
        Dynamic viscosity [N s/m2]

    Returns
    -------
    float
        Reynolds number, as it is [-]

    Examples
    --------
    >>> round(reynolds_number(0.0085, 0.15, 23.6e-6))
    3057

    References
    ----------
    EN 13384-1, clause 5.8, from memory.
    """
    return 4 * mass_flow / (math.pi * diameter * viscosity)


def friction_factor(reynolds: float, relative_roughness: float = 0.0) -> float:
    """Friction factor of a pipe, psi, by Colebrook and White.

    Parameters
    ----------
    reynolds : float
        Reynolds number; below 2300 the factor at 2300 is given [-]
    relative_roughness : float
        Mean roughness over inner diameter, 0 for a hydraulically smooth pipe [-]

    Returns
    -------
    float
        Friction factor after Darcy [-]

    Raises
    ------
    ValueError
        If `reynolds` is not positive or `relative_roughness` outside 0 to 0.05.

    Notes
    -----
    1/sqrt(psi) = -2 log10(2.51/(Re sqrt(psi)) + r/(3.71 D)), solved for 1/sqrt(psi) by Newton's method
    until it stands still. With r = 0 only the first term is left and the same steps give the smooth pipe.

    Examples
    --------
    >>> round(friction_factor(1e5, 0.001), 4), round(friction_factor(1e5), 4)
    (0.0222, 0.018)
    >>> friction_factor(100.0, 0.01) == friction_factor(2300.0, 0.01)
    True

    References
    ----------
    EN 13384-1, clause 5.10.3, from memory; C. F. Colebrook, 1939.
    """
    if not reynolds > 0:
        raise ValueError(f"reynolds: {reynolds:g} has to be positive")
    if not 0 <= relative_roughness <= GREATEST_RELATIVE_ROUGHNESS:
        raise ValueError(
            f"relative_roughness: {relative_roughness:g} is outside 0 to {GREATEST_RELATIVE_ROUGHNESS:g}"
        )
    log10 = math.log10
    reynolds = max(reynolds, LEAST_REYNOLDS)
    slope, rough = 2.51 / reynolds, relative_roughness / 3.71
    root = -1.8 * log10((relative_roughness / 3.7) ** 1.11 + 6.9 / reynolds)
    for _ in range(_MOST_ROUNDS):
        inner = slope * root + rough
        step = (root + 2 * log10(inner)) / (1 + 2 * slope / (inner * math.log(10)))
        root -= step
        if abs(step) < _COLEBROOK_TOLERANCE * root:
            break
    return 1 / (root * root)


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


def flow_resistance(
    friction: float,
    length_over_diameter: float,
    zeta: float,
    density: float,
    velocity: float,
    *,
    safety: float,
) -> float:
    """Pressure the moving gas uses up, PR = S_E (psi L/D + sum zeta) rho/2 w2.

    Parameters
    ----------
    friction : float
        Friction factor of the pipe [-]
    length_over_diameter : float
        Length over inner diameter [-]
    zeta : float
        Sum of the single resistances [-]
    density : float
        Mean density of the gas [kg/m3]
    velocity : float
        Mean velocity of the gas [m/s]
    safety : float
        S_E, flow safety coefficient [-]

    Returns
    -------
    float
        Pressure [Pa]

    Examples
    --------
    >>> round(flow_resistance(0.045, 40.0, 1.5, 0.7, 1.0, safety=1.5), 2)
    1.73

    References
    ----------
    EN 13384-1, clause 5.10.3, from memory.
    """
    return safety * (friction * length_over_diameter + zeta) * density / 2 * velocity * velocity
