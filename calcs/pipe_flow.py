"""Flow in a round pipe, one relation at a time: what `calcs.flue_segments` is put together from.

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
