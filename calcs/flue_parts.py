"""The parts of a flue and what solving them gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calcs.flue_ranges import GREATEST_RELATIVE_ROUGHNESS, check_in_range


@dataclass(frozen=True)
class FlueSegment:
    """A stretch of flue with one diameter, one insulation and one temperature around it. SI, degrees Celsius.

    `thermal_resistance` is referred to the inner surface; `zeta` is the sum of the single resistances.
    """

    name: str
    length: float
    height: float
    inner_diameter: float
    outer_diameter: float
    thermal_resistance: float
    roughness: float
    zeta: float
    surrounding_temperature: float
    external_coefficient: float = 8.0
    #: connector | chimney: the flow begins anew where one ends and the other starts.
    part: str = "chimney"


@dataclass(frozen=True)
class FlueSolution:
    """A segment solved: every value on the way, pressures in Pa, temperatures in degrees Celsius.

    `reynolds` is the flow's own, also where the relations took 2300 in its place.
    """

    outside_pressure: float
    air_density: float
    mean_temperature: float
    gas_density: float
    velocity: float
    reynolds: float
    prandtl: float
    friction: float
    friction_smooth: float
    nusselt: float
    inner_coefficient: float
    transmittance: float
    cooling: float
    outlet_temperature: float
    theoretical_draft: float
    flow_resistance: float
    available_draft: float
    wall_temperature_outlet: float
    viscosity: float
    conductivity: float
    heat_capacity: float


@dataclass(frozen=True)
class SegmentedFlue:
    """A whole flue solved. Pressures in Pa, temperatures in degrees Celsius; `solutions` as the segments."""

    segments: tuple[FlueSegment, ...]
    solutions: tuple[FlueSolution, ...]
    outside_pressure: float
    air_density: float
    wind_pressure: float
    #: Means over the length.
    mean_temperature: float
    velocity: float
    theoretical_draft: float
    flow_resistance: float
    available_draft: float
    outlet_temperature: float
    wall_temperature_outlet: float


@dataclass(frozen=True)
class FlueGasFlow:
    """What flows, and against what air: shared by all segments. SI, degrees Celsius."""

    mass_flow: float
    gas_constant: float
    #: At a mean temperature [J/(kg K)].
    heat_capacity: Callable[[float], float]
    outside_pressure: float
    air_density: float
    flow_safety: float
    correction: float


def check_segment(segment: FlueSegment, label: str = "") -> None:
    """Refuse a segment that the relations do not hold for.

    Parameters
    ----------
    segment : FlueSegment
        The segment [SI]
    label : str
        Begins the name in the sentence, such as `segments[1].` [-]

    Raises
    ------
    ValueError
        If a figure is outside its range, the outer diameter under the inner, or the roughness too great
        for the diameter.

    Examples
    --------
    >>> check_segment(FlueSegment("attic", 2, 2, 0.15, 0.1, 0.4, 0.001, 0, 0), "segments[2].")
    Traceback (most recent call last):
    ValueError: segments[2].outer_diameter: 0.1 m is smaller than the inner diameter
    """
    for name in (
        "length",
        "height",
        "inner_diameter",
        "outer_diameter",
        "thermal_resistance",
        "roughness",
        "zeta",
        "surrounding_temperature",
        "external_coefficient",
    ):
        check_in_range(name, getattr(segment, name), label + name)
    if segment.outer_diameter < segment.inner_diameter:
        raise ValueError(
            f"{label}outer_diameter: {segment.outer_diameter:g} m is smaller than the inner diameter"
        )
    if segment.roughness > GREATEST_RELATIVE_ROUGHNESS * segment.inner_diameter * (1 + 1e-12):
        raise ValueError(
            f"{label}roughness: {segment.roughness:g} m is more than {GREATEST_RELATIVE_ROUGHNESS:g} of the "
            "inner diameter, rougher than the friction relation holds for"
        )
