"""A flue of several segments in series, cooled and slowed one after the other."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from calcs import pipe_flow as flow_in
from calcs import pipe_heat as heat
from calcs.atmosphere import GRAVITY, gas_density, outside_pressure
from calcs.flue_parts import FlueGasFlow, FlueSegment, FlueSolution, SegmentedFlue, check_segment
from calcs.flue_ranges import GREATEST_RELATIVE_ROUGHNESS, GREATEST_REYNOLDS, check_in_range

#: The mean temperature stands still when it moves by less [K].
_STILL = 1e-9
_MOST_ROUNDS = 200
#: A line flatter than this [K/K] would throw the next mean temperature too far.
_FLATTEST = 0.5


def flow_through(
    *,
    mass_flow: float,
    gas_constant: float,
    heat_capacity: float | Callable[[float], float],
    altitude: float,
    outside_temperature: float,
    flow_safety: float,
    correction: float,
) -> FlueGasFlow:
    """Check what is shared by all segments and find the air outside.

    Parameters
    ----------
    mass_flow : float
        Mass flow of the flue gas [kg/s]
    gas_constant : float
        Gas constant of the flue gas [J/(kg K)]
    heat_capacity : float or function
        Specific heat capacity, or a function that gives it at a temperature in degrees Celsius [J/(kg K)]
    altitude : float
        Height of the site above mean sea level [m]
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]
    flow_safety : float
        S_E, flow safety coefficient [-]
    correction : float
        S_H, correction for the flue still warming up [-]

    Returns
    -------
    FlueGasFlow
        The flow

    Raises
    ------
    ValueError
        If an input is outside its range in `calcs.flue_ranges`.

    Examples
    --------
    >>> flow = flow_through(
    ...     mass_flow=0.0085, gas_constant=295, heat_capacity=1100, altitude=0, outside_temperature=15,
    ...     flow_safety=1.5, correction=0.5,
    ... )
    >>> round(flow.air_density, 3)
    1.169

    References
    ----------
    EN 13384-1, clause 5.7, from memory.
    """
    given = {
        "mass_flow": mass_flow,
        "gas_constant": gas_constant,
        "altitude": altitude,
        "outside_temperature": outside_temperature,
        "flow_safety": flow_safety,
        "correction": correction,
    }
    for name, value in given.items():
        check_in_range(name, value)
    if callable(heat_capacity):
        at_mean = heat_capacity
    else:
        check_in_range("heat_capacity", heat_capacity)
        constant = float(heat_capacity)

        def at_mean(_: float) -> float:
            return constant

    pressure = outside_pressure(altitude, outside_temperature)
    air = gas_density(pressure, outside_temperature)
    return FlueGasFlow(mass_flow, gas_constant, at_mean, pressure, air, flow_safety, correction)


def solve_segment(
    segment: FlueSegment, flow: FlueGasFlow, entry_temperature: float, entrance_length: float
) -> FlueSolution:
    """Solve one segment: properties at its mean temperature, iterated until that stands still.

    Parameters
    ----------
    segment : FlueSegment
        The segment, checked [SI]
    flow : FlueGasFlow
        What flows through it [SI]
    entry_temperature : float
        Temperature of the gas where it enters [degrees Celsius]
    entrance_length : float
        Whole length of the part the segment belongs to, for the entry term of the Nusselt number [m]

    Returns
    -------
    FlueSolution
        Every value on the way

    Raises
    ------
    ValueError
        If the mass flow is beyond the Reynolds numbers the relations hold for, or no mean temperature
        stands still.

    Examples
    --------
    >>> flow = flow_through(
    ...     mass_flow=0.0085, gas_constant=295, heat_capacity=1100, altitude=0, outside_temperature=15,
    ...     flow_safety=1.5, correction=0.5,
    ... )
    >>> attic = FlueSegment("attic", 3, 3, 0.15, 0.25, 0.4, 0.001, 0, 0)
    >>> round(solve_segment(attic, flow, 250, 3).outlet_temperature, 1)
    193.6

    References
    ----------
    EN 13384-1, clauses 5.7 to 5.10, from memory.
    """
    diameter, around = segment.inner_diameter, segment.surrounding_temperature
    relative = min(segment.roughness / diameter, GREATEST_RELATIVE_ROUGHNESS)
    diameters = diameter / segment.outer_diameter
    over_length = diameter / entrance_length
    mean, before, off_before = entry_temperature, 0.0, 0.0
    for step in range(_MOST_ROUNDS):
        eta, lam, capacity = flow_in.viscosity(mean), heat.conductivity(mean), flow.heat_capacity(mean)
        prandtl = heat.prandtl_number(eta, capacity, lam)
        reynolds = flow_in.reynolds_number(flow.mass_flow, diameter, eta)
        if reynolds > GREATEST_REYNOLDS:
            raise ValueError(f"mass_flow: {flow.mass_flow:g} kg/s is too much for {diameter:g} m")
        psi = flow_in.friction_factor(reynolds, relative)
        smooth = flow_in.friction_factor(reynolds) if relative else psi
        nusselt = heat.nusselt_number(reynolds, prandtl, psi, smooth, over_length)
        inner = heat.inner_coefficient(lam, nusselt, diameter)
        k = heat.transmittance(
            inner, segment.thermal_resistance, diameters, segment.external_coefficient, flow.correction
        )
        cooling = heat.cooling_number(diameter, k, segment.length, flow.mass_flow, capacity)
        found = heat.mean_temperature(entry_temperature, around, cooling)
        off = found - mean
        if abs(off) < _STILL:
            break
        # A straight line through the last two differences finds where they vanish in half the rounds.
        slope = (off - off_before) / (mean - before) if step and mean != before else -1.0
        before, off_before, mean = mean, off, mean - off / slope if slope < -_FLATTEST else found
    else:
        raise ValueError("flue_gas_temperature: no mean temperature stands still for these inputs")
    outlet = heat.outlet_temperature(entry_temperature, around, cooling)
    density = gas_density(flow.outside_pressure, mean, flow.gas_constant)
    velocity = 4 * flow.mass_flow / (math.pi * diameter * diameter * density)
    resistance = flow_in.flow_resistance(
        psi, segment.length / diameter, segment.zeta, density, velocity, safety=flow.flow_safety
    )
    draft = segment.height * GRAVITY * (flow.air_density - density)
    return FlueSolution(
        outside_pressure=flow.outside_pressure,
        air_density=flow.air_density,
        mean_temperature=mean,
        gas_density=density,
        velocity=velocity,
        reynolds=reynolds,
        prandtl=prandtl,
        friction=psi,
        friction_smooth=smooth,
        nusselt=nusselt,
        inner_coefficient=inner,
        transmittance=k,
        cooling=cooling,
        outlet_temperature=outlet,
        theoretical_draft=draft,
        flow_resistance=resistance,
        available_draft=draft - resistance,
        wall_temperature_outlet=heat.wall_temperature(outlet, around, k, inner),
        viscosity=eta,
        conductivity=lam,
        heat_capacity=capacity,
    )


def solve_segments(
    segments: Sequence[FlueSegment],
    *,
    mass_flow: float,
    flue_gas_temperature: float,
    gas_constant: float,
    heat_capacity: float | Callable[[float], float],
    altitude: float,
    outside_temperature: float,
    flow_safety: float = 1.5,
    correction: float = 0.5,
    wind_pressure: float = 0.0,
) -> SegmentedFlue:
    """Solve a flue of several segments in series, from the appliance's collar to the outlet.

    Parameters
    ----------
    segments : sequence of FlueSegment
        The segments in the order the gas passes them [SI]
    mass_flow : float
        Mass flow of the flue gas [kg/s]
    flue_gas_temperature : float
        Temperature of the gas where it enters the first segment [degrees Celsius]
    gas_constant : float
        Gas constant of the flue gas [J/(kg K)]
    heat_capacity : float or function
        Specific heat capacity, or a function that gives it at a temperature in degrees Celsius [J/(kg K)]
    altitude : float
        Height of the site above mean sea level [m]
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]
    flow_safety : float
        S_E, flow safety coefficient [-]
    correction : float
        S_H: 0.5 for the pressure requirement, 1 at equilibrium for the temperature requirement [-]
    wind_pressure : float
        PL, pressure of the wind on the outlet [Pa]

    Returns
    -------
    SegmentedFlue
        Each segment's values, and the whole flue's

    Raises
    ------
    ValueError
        If there is no segment, an input is outside its range in `calcs.flue_ranges`, or a segment is
        higher than it is long.

    Notes
    -----
    The change of velocity along the flue is left out. Each segment starts at the temperature the one before
    ends at, with properties at its own mean temperature. An insulated pipe cut into equal segments ends
    within 4 % of the uncut pipe's temperatures and within 10 % of what uncooled gas would draw, a usual one
    within 0.1 Pa: the cut pipe follows the density along the way, the uncut one has that of its mean.

    Examples
    --------
    >>> room = FlueSegment("room", 0.5, 0.5, 0.15, 0.25, 0.4, 0.001, 0, 20)
    >>> outside = FlueSegment("outside", 3, 3, 0.15, 0.25, 0.4, 0.001, 1.5, 0, 23)
    >>> flue = solve_segments(
    ...     [room, outside], mass_flow=0.0085, flue_gas_temperature=250, gas_constant=295,
    ...     heat_capacity=1100, altitude=0, outside_temperature=0,
    ... )
    >>> round(flue.available_draft, 1), round(flue.outlet_temperature)
    (18.6, 185)

    References
    ----------
    EN 13384-1, clauses 5.7 to 5.12, from memory.
    """
    if not segments:
        raise ValueError("segments: a flue has at least one segment")
    check_in_range("flue_gas_temperature", flue_gas_temperature)
    check_in_range("wind_pressure", wind_pressure)
    lengths: dict[str, float] = {}
    for index, one in enumerate(segments):
        check_segment(one, f"segments[{index}].")
        if one.height > one.length * (1 + 1e-9):
            raise ValueError(
                f"segments[{index}].height: {one.height:g} m is more than its length of {one.length:g} m"
            )
        lengths[one.part] = lengths.get(one.part, 0.0) + one.length
    flow = flow_through(
        mass_flow=mass_flow,
        gas_constant=gas_constant,
        heat_capacity=heat_capacity,
        altitude=altitude,
        outside_temperature=outside_temperature,
        flow_safety=flow_safety,
        correction=correction,
    )
    solutions: list[FlueSolution] = []
    temperature = flue_gas_temperature
    for one in segments:
        solutions.append(solve_segment(one, flow, temperature, lengths[one.part]))
        temperature = solutions[-1].outlet_temperature
    return _whole(tuple(segments), tuple(solutions), wind_pressure)


def _whole(
    segments: tuple[FlueSegment, ...], solutions: tuple[FlueSolution, ...], wind_pressure: float
) -> SegmentedFlue:
    pairs = list(zip(segments, solutions, strict=True))
    length = math.fsum(one.length for one in segments)
    draft = math.fsum(one.theoretical_draft for one in solutions)
    resistance = math.fsum(one.flow_resistance for one in solutions)
    last = solutions[-1]
    return SegmentedFlue(
        segments=segments,
        solutions=solutions,
        outside_pressure=last.outside_pressure,
        air_density=last.air_density,
        wind_pressure=wind_pressure,
        mean_temperature=math.fsum(one.mean_temperature * part.length for part, one in pairs) / length,
        velocity=math.fsum(one.velocity * part.length for part, one in pairs) / length,
        theoretical_draft=draft,
        flow_resistance=resistance,
        available_draft=draft - resistance - wind_pressure,
        outlet_temperature=last.outlet_temperature,
        wall_temperature_outlet=last.wall_temperature_outlet,
    )
