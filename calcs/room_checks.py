"""What the survey measured in the room, ready to be held against the limits."""

from __future__ import annotations

import math

from calcs.checks import Limit
from calcs.connector import slope_of
from calcs.hearth import MATERIALS, Layer, layer_resistance, thermal_resistance
from calcs.moisture import moisture_limit
from calcs.routes import THROUGH_WALL
from calcs.steps import Step
from calcs.survey import HearthLayer
from calcs.workings import Workings

#: Name of a limit, what was measured, the input to ask for where it is missing; "" asks for none, and then
#: a missing measure is no check at all unless the plan held it before.
Measure = tuple[str, float | None, str]


def room_measures(workings: Workings, limits: dict[str, Limit]) -> tuple[Measure, ...]:
    """Measures of hearth, connector, air and fuel that the limits ask for.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps
    limits : dict of str to Limit
        Limits of the plan

    Returns
    -------
    tuple of Measure
        Name, value and input to ask for; a measure nobody has to take is left out where it is missing
        [m, m2, m2K/W, counts and ratios]
    """
    survey = workings.survey
    resistance = hearth_resistance(workings)
    asked = limits.get("hearth.resistance")
    wanted: list[Measure] = [
        ("hearth.front", survey.hearth_front, "survey.hearth_front"),
        ("hearth.side", survey.hearth_side, "survey.hearth_side"),
        ("hearth.width", survey.hearth_width, "survey.hearth_width"),
        ("hearth.depth", survey.hearth_depth, "survey.hearth_depth"),
        ("hearth.thickness", hearth_thickness(workings), "survey.hearth_thickness"),
        ("connector.clearance", survey.connector_clearance, "survey.connector_clearance"),
        ("connector.run", survey.connector_run, "survey.connector_run"),
        ("connector.elbows", survey.connector_elbows, "survey.connector_elbows"),
        ("air.vent_area", survey.air_vent_area, ""),
    ]
    if asked is not None and (asked.minimum or 0.0) > 0:
        wanted.append(("hearth.resistance", resistance, "survey.hearth_layers"))
    optional: list[Measure] = [
        ("hearth.rear", survey.hearth_rear, ""),
        ("connector.slope", connector_slope(workings), ""),
        ("connector.length", survey.connector_length, ""),
    ]
    if moisture_limit(workings.rulebook, workings.appliance.fuel) is not None:
        optional.append(("fuel.moisture", survey.fuel_moisture, ""))
    measured = [*wanted, *(one for one in optional if one[1] is not None)]
    _explain(workings, limits, {name: value for name, value, _ in measured})
    return tuple(measured)


def hearth_resistance(workings: Workings) -> float | None:
    """Thermal resistance of the floor protection's layers.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Sum of the layers; None without any [m2K/W]

    Raises
    ------
    ValueError
        If a layer cannot be.
    """
    layers = layers_of(workings.survey.hearth_layers)
    return thermal_resistance(layers) if layers else None


def layers_of(layers: tuple[HearthLayer, ...]) -> tuple[Layer, ...]:
    """Layers of a survey as the hearth's reckoning takes them.

    Parameters
    ----------
    layers : tuple of HearthLayer
        Layers from the top down

    Returns
    -------
    tuple of Layer
        The same layers

    Examples
    --------
    >>> layers_of((HearthLayer("brick", 0.1),))[0].thickness
    0.1
    """
    return tuple(Layer(one.material, one.thickness, resistance=one.resistance) for one in layers)


def hearth_thickness(workings: Workings) -> float | None:
    """Thickness of the hearth: as measured, or of its layers where each has one.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Thickness [m]
    """
    survey = workings.survey
    if survey.hearth_thickness is not None:
        return survey.hearth_thickness
    thick = [one.thickness for one in survey.hearth_layers if one.thickness is not None]
    return sum(thick) if thick and len(thick) == len(survey.hearth_layers) else None


def connector_slope(workings: Workings) -> float | None:
    """Slope of the connector's part that is not upright.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Rise over run; None where it goes straight up or was not measured [-]
    """
    survey, collar = workings.survey, workings.levels.collar
    run, rise, length = survey.connector_run, survey.connector_rise, survey.connector_length
    if survey.route == THROUGH_WALL and rise is None and None not in (survey.thimble_height, collar):
        rise = max(0.0, (survey.thimble_height or 0.0) - (collar or 0.0))
    if not run or rise is None or not length:
        return None
    # A length that a tape reads a little short stands for the straight line.
    return slope_of(max(length, math.hypot(rise, run)), rise, run)


def _explain(workings: Workings, limits: dict[str, Limit], measured: dict[str, float | None]) -> None:
    working = workings.working
    working["hearth"] = (
        *_compared("Hearth in front", "hearth.front", limits, measured),
        *_compared("Hearth at the sides", "hearth.side", limits, measured),
        *_compared("Hearth behind", "hearth.rear", limits, measured),
        *_compared("Width of the hearth", "hearth.width", limits, measured),
        *_compared("Depth of the hearth", "hearth.depth", limits, measured),
        *_compared("Thickness of the hearth", "hearth.thickness", limits, measured),
        *_layer_steps(workings),
        *_compared("Resistance of the hearth", "hearth.resistance", limits, measured, "thermal resistance"),
    )
    working["connector"] = (
        *working.get("connector", ()),
        *_compared("Distance of the connector", "connector.clearance", limits, measured),
        *_run_steps(workings, limits),
        *_compared("Level run", "connector.run", limits, measured, relation=_run_relation(workings)),
        *_compared("Length of the connector", "connector.length", limits, measured),
        *_slope_steps(workings),
        *_compared("Slope", "connector.slope", limits, measured, "slope"),
        *_compared("Elbows", "connector.elbows", limits, measured, "count"),
    )
    if "fuel.moisture" in measured:
        working["fuel"] = _compared("Water in the fuel", "fuel.moisture", limits, measured, "percent")
    if "air" in working:
        vents = _compared("Permanent vents", "air.vent_area", limits, measured, "area")
        working["air"] = (*working["air"], *vents)
    for topic in ("hearth", "connector"):
        if not working[topic]:
            del working[topic]


def _compared(
    says: str,
    name: str,
    limits: dict[str, Limit],
    measured: dict[str, float | None],
    kind: str = "length",
    *,
    relation: str = "",
) -> tuple[Step, ...]:
    """Return the limit and the measure, where there is a limit."""
    limit = limits.get(name)
    if limit is None:
        return ()
    least = limit.minimum is not None
    bound = limit.minimum if least else limit.maximum
    word = "at least" if least else "at most"
    steps = [Step(f"{says}, {word}", relation, "", bound, limit.unit, kind, limit.source)]
    value = measured.get(name)
    if value is not None:
        steps.append(Step(f"{says}, planned", "", "", float(value), limit.unit, kind))
    return tuple(steps)


def _layer_steps(workings: Workings) -> tuple[Step, ...]:
    layers = workings.survey.hearth_layers
    if not layers:
        return ()
    steps = []
    for number, (told, layer) in enumerate(zip(layers, layers_of(layers), strict=True), start=1):
        known = MATERIALS.get(told.material) if told.resistance is None else None
        relation = "R by its sheet" if known is None else "R = t / k"
        source = known.source if known is not None else None
        resistance = layer_resistance(layer)
        says = f"Layer {number}, {told.material}"
        if told.thickness is not None:
            steps.append(Step(f"{says}, thickness", "", "t", told.thickness, "m", "length"))
        steps.append(Step(says, relation, f"R{number}", resistance, "m2K/W", "thermal resistance", source))
    total = thermal_resistance(layers_of(layers))
    relation = " + ".join(f"R{number}" for number in range(1, len(layers) + 1))
    steps.append(Step("Layers add up", relation, "R", total, "m2K/W", "thermal resistance"))
    return tuple(steps)


def _run_share(workings: Workings) -> float | None:
    """Share of the chimney's height the level run may have."""
    listed = workings.survey.connector_kind == "double wall listed"
    book = workings.rulebook
    return (book.value("connector.run_share_listed") if listed else None) or book.value("connector.run_share")


def _run_relation(workings: Workings) -> str:
    share = _run_share(workings)
    return "" if share is None else f"{share * 100:g} % × H"


def _run_steps(workings: Workings, limits: dict[str, Limit]) -> tuple[Step, ...]:
    plan = workings.sections
    if plan is None or "connector.run" not in limits or _run_share(workings) is None:
        return ()
    return (Step("Height of the chimney above its inlet", "", "H", plan.total, "m", "length"),)


def _slope_steps(workings: Workings) -> tuple[Step, ...]:
    survey, slope = workings.survey, connector_slope(workings)
    if slope is None:
        return ()
    return (
        Step("Connector along its centre line", "", "L", survey.connector_length, "m", "length"),
        Step("Straight up between its ends", "", "h", survey.connector_rise, "m", "length"),
        Step("Level between its ends", "", "x", survey.connector_run, "m", "length"),
        Step(
            "Slope of the part that is not upright",
            "(x² − (L − h)²) / (2 (L − h) x)",
            "",
            slope,
            "1",
            "slope",
        ),
    )
