"""Inputs that cannot be: refused with the name of the field before anything is computed from them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from calcs.clearance import protections
from calcs.connector_clearance import connector_protections
from calcs.framing import LUMBER
from calcs.hearth import AIR, Layer, layer_resistance
from calcs.routes import ROUTES
from calcs.routes.refusals import refuse_route
from calcs.rulebook import RuleBook
from calcs.sections import SHORTEST_SECTION
from calcs.survey import Appliance, Chimney, HearthLayer, Survey

#: Fields that may be negative, with their least value.
_LEAST: Mapping[str, float] = {
    "survey.altitude": -450.0,
    "survey.outside_temperature": -70.0,
    "survey.room_temperature": -70.0,
    "survey.attic_temperature": -70.0,
    "appliance.flue_gas_temperature": -70.0,
    "appliance.minimum_gas_temperature": -70.0,
}
#: Fields that mean nothing at zero.
_POSITIVE = frozenset(
    {
        "survey.member_spacing",
        "survey.member_thickness",
        "survey.member_depth",
        "survey.floor_to_ceiling",
        "appliance.collar_diameter",
        "appliance.collar_height",
        "appliance.connector_clearance",
        "chimney.inner_diameter",
        "chimney.outer_diameter",
        "chimney.support_size",
        "chimney.supported_height",
        "chimney.brace_threshold",
        "chimney.shield_height",
        "chimney.box_height",
        "survey.flue_width",
        "survey.flue_depth",
        "chimney.thimble_size",
        "chimney.bracket_spacing",
        "chimney.wall_supported_height",
    }
)
#: No length of a house reaches this [m], nor any other figure the other [SI]: a slip of the keyboard.
_LONGEST = 10_000.0
_GREATEST = 1_000_000.0
_POWERS = frozenset({"appliance.nominal_output", "appliance.minimum_output"})
#: Shares of a whole.
_AT_MOST_ONE = frozenset({"appliance.flue_gas_co2", "appliance.efficiency", "survey.fuel_moisture"})
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "appliance.fuel": ("wood", "pellets", "smokeless", "coal"),
    "appliance.kind": ("radiant", "jacketed", "open fire"),
    "survey.route": ROUTES,
    "survey.rafter_vented": ("", "vented", "unvented"),
    "survey.wall_bears": ("", "yes", "no"),
    "survey.wall_side": ("", "eaves", "gable"),
    "survey.eaves_way": ("", "straight", "offset", "through"),
    "survey.flue_shape": ("", "rectangular", "round"),
    "survey.flue_entry": ("", "fireplace", "thimble"),
    "survey.chimney_place": ("", "inside", "outside"),
    "survey.flue_inspection": ("", "sound", "faults", "not done"),
    "survey.member_kind": ("joist", "truss"),
    "survey.member_direction": ("front to back", "side to side"),
    "survey.protected_sides": ("", "left", "right", "both"),
    "survey.placement": ("wall", "corner"),
    "survey.exposure": ("", "inland", "coast"),
    "survey.roof_shape": ("gable", "shed", "hip", "flat"),
    "survey.roof_covering": (
        "metal",
        "asphalt shingle",
        "tile",
        "slate",
        "wood shingle",
        "thatch",
        "membrane",
    ),
    "survey.framing_stock": tuple(LUMBER),
    "survey.connector_kind": ("single wall", "double wall listed"),
}
_OBSTACLES = ("building", "dormer", "parapet", "neighbour", "opening")
#: Figures of a survey that are no length off a tape, so that none can be a little longer or shorter.
_NO_LENGTHS = frozenset(
    {
        "roof_rise",
        "ceiling_rise",
        "connector_elbows",
        "altitude",
        "outside_temperature",
        "room_temperature",
        "attic_temperature",
        "air_permeability",
        "air_vent_area",
        "fuel_moisture",
    }
)
#: What a tape and rounding leave open when three measures have to agree.
_TAPE = 0.01
_STEEPEST_ROOF = 24.0
#: Fall that a flat roof is laid to, as rise in 12; beyond it the roof beside the outlet counts.
_STEEPEST_FLAT = 1.0


def refuse_impossible(survey: Survey, appliance: Appliance, chimney: Chimney, rulebook: RuleBook) -> None:
    """Raise for the first input that cannot be; a missing one is no error.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    rulebook : RuleBook
        Rules of the site's country

    Raises
    ------
    ValueError
        If a value is negative where it cannot be, not a finite number, not among its choices, or
        contradicts another; the sentence begins with the field's name.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> refuse_impossible(Survey(attic_height=-0.1), Appliance(), Chimney(), load_rulebook("us"))
    Traceback (most recent call last):
    ValueError: survey.attic_height: -0.1 cannot be negative
    """
    for owner, record in (("survey", survey), ("appliance", appliance), ("chimney", chimney)):
        for field in fields(record):
            _refuse_value(f"{owner}.{field.name}", getattr(record, field.name))
    _refuse_rows(survey, chimney)
    _refuse_contradictions(survey, appliance, chimney)
    _refuse_protections(survey, rulebook)


def _refuse_protections(survey: Survey, rulebook: RuleBook) -> None:
    walls = [protection.key for protection in protections(rulebook)]
    pipes = [protection.key for protection in connector_protections(rulebook)]
    for name in ("rear_protection", "side_protection", "connector_protection"):
        known = pipes if name == "connector_protection" else walls
        if getattr(survey, name) not in ("", *known):
            raise ValueError(
                f"survey.{name}: {getattr(survey, name)!r} is not in the rule book; "
                f"choose from {', '.join(known) or 'none'}"
            )


def _refuse_rows(survey: Survey, chimney: Chimney) -> None:
    for index, obstacle in enumerate(survey.obstacles):
        _refuse_value(f"survey.obstacles[{index}].distance", obstacle.distance)
        if not abs(obstacle.height) <= _LONGEST:
            raise ValueError(f"survey.obstacles[{index}].height: {obstacle.height:g} is more than can be")
        if obstacle.kind not in _OBSTACLES:
            raise ValueError(
                f"survey.obstacles[{index}].kind: {obstacle.kind!r} is not one of {', '.join(_OBSTACLES)}"
            )
    _refuse_layers(survey.hearth_layers)
    lengths = _lengths_of(survey) if survey.tolerances else {}
    for name, tolerance in survey.tolerances.items():
        if name not in lengths:
            raise ValueError(f"survey.tolerances.{name}: only a length of the survey has a tolerance")
        _refuse_value(f"survey.tolerances.{name}", tolerance)
        measure = lengths[name]
        if measure is not None and tolerance > measure:
            raise ValueError(f"survey.tolerances.{name}: it is larger than the measure; check its unit")
    for index, section in enumerate(chimney.sections):
        for name in ("length", "effective_length", "cost"):
            _refuse_value(f"chimney.sections[{index}].{name}", getattr(section, name))
        if not section.effective_length > 0:
            raise ValueError(f"chimney.sections[{index}].effective_length: a section has to add height")
        if section.effective_length < SHORTEST_SECTION:
            raise ValueError(
                f"chimney.sections[{index}].effective_length: {section.effective_length:g} m is less than a "
                "section can add; look at its unit"
            )


def _lengths_of(survey: Survey) -> dict[str, float | None]:
    numbers = {one.name for one in fields(survey) if "float" in str(one.type) and one.name != "tolerances"}
    return {name: getattr(survey, name) for name in numbers - _NO_LENGTHS}


def _refuse_layers(layers: tuple[HearthLayer, ...]) -> None:
    above = ""
    for index, layer in enumerate(layers):
        row = f"survey.hearth_layers[{index}]"
        for name in ("thickness", "resistance"):
            _refuse_value(f"{row}.{name}", getattr(layer, name))
        try:
            layer_resistance(Layer(layer.material, layer.thickness, resistance=layer.resistance))
        except ValueError as error:
            told = "thickness" if layer.resistance is None else "resistance"
            raise ValueError(f"{row}.{told}: {error}") from error
        if layer.material == above == AIR:
            raise ValueError(f"{row}.material: two layers of {AIR} need a solid one between them")
        above = layer.material


def _refuse_value(name: str, value: Any) -> None:
    if name in _CHOICES and value not in _CHOICES[name]:
        raise ValueError(f"{name}: {value!r} is not one of {', '.join(_CHOICES[name])}")
    if isinstance(value, bool) or not isinstance(value, int | float):
        return
    if not math.isfinite(value):
        raise ValueError(f"{name}: {value} is not a number")
    if abs(value) > (_GREATEST if name in _POWERS or name.endswith(".cost") else _LONGEST):
        raise ValueError(f"{name}: {value:g} is more than can be; look at its unit")
    if name in _LEAST:
        if value < _LEAST[name]:
            raise ValueError(f"{name}: {value:g} is below {_LEAST[name]:g}")
    elif value < 0:
        raise ValueError(f"{name}: {value:g} cannot be negative")
    if name in _AT_MOST_ONE and value > 1:
        raise ValueError(f"{name}: {value:g} is more than the whole; write a share such as 0.2 or 20 %")
    if name in _POSITIVE and value == 0:
        raise ValueError(f"{name}: it cannot be zero")


def _refuse_contradictions(survey: Survey, appliance: Appliance, chimney: Chimney) -> None:
    if (
        chimney.inner_diameter is not None
        and chimney.outer_diameter is not None
        and chimney.outer_diameter < chimney.inner_diameter
    ):
        raise ValueError("chimney.outer_diameter: it is smaller than the inner diameter")
    if (
        survey.member_spacing is not None
        and survey.member_thickness is not None
        and survey.member_thickness >= survey.member_spacing
    ):
        raise ValueError("survey.member_thickness: it leaves no room at that spacing")
    for name in ("roof_rise", "ceiling_rise"):
        rise = getattr(survey, name)
        if rise is not None and rise > _STEEPEST_ROOF:
            raise ValueError(f"survey.{name}: {_slope(rise)} is beyond {_slope(_STEEPEST_ROOF)}")
    if survey.roof_shape == "flat" and (survey.roof_rise or 0.0) > _STEEPEST_FLAT:
        raise ValueError(
            f"survey.roof_rise: a roof of {_slope(survey.roof_rise or 0.0)} is not flat; choose shed or gable"
        )
    refuse_route(survey, chimney)
    _refuse_connector(survey)
    _refuse_sheet(appliance)
    for angle in (15, 30):
        rise, run = getattr(chimney, f"elbow_{angle}_rise"), getattr(chimney, f"elbow_{angle}_run")
        if rise is not None and run is not None and run > greatest_offset(rise, angle) + _TAPE:
            raise ValueError(
                f"chimney.elbow_{angle}_run: no pair of {angle}° elbows reaches so far with that rise; "
                "are the two figures swapped?"
            )
    if (
        survey.roof_shape == "hip"
        and survey.eaves_distance is not None
        and survey.hip_distance is not None
        and survey.hip_distance < survey.eaves_distance
    ):
        raise ValueError(
            "survey.hip_distance: it is less than the distance to the eaves, so the flue stands on the "
            "hipped end; take that end's eaves for the eaves, and the longer side's for the hipped end"
        )
    collar, ceiling = appliance.collar_height, survey.floor_to_ceiling
    projection = chimney.support_projection or 0.0
    if collar is not None and ceiling is not None and collar >= ceiling - projection:
        raise ValueError(
            "appliance.collar_height: the collar stands above where the chimney begins; look at the "
            "height from floor to ceiling too"
        )


def _refuse_connector(survey: Survey) -> None:
    length, rise, run = survey.connector_length, survey.connector_rise, survey.connector_run
    if length is None:
        return
    straight = math.hypot(rise or 0.0, run or 0.0)
    if length < straight - _TAPE:
        raise ValueError(
            "survey.connector_length: the pipe is shorter than the straight line between its ends; "
            "check its rise and its level run"
        )


def _refuse_sheet(appliance: Appliance) -> None:
    least, nominal = appliance.minimum_output, appliance.nominal_output
    if least is not None and nominal is not None and least > nominal:
        raise ValueError("appliance.minimum_output: it is more than the nominal output")
    for name, across in (("side_to_flue_centre", "width"), ("back_to_flue_centre", "depth")):
        centre, whole = getattr(appliance, name), getattr(appliance, across)
        if centre is not None and whole is not None and centre > whole:
            raise ValueError(f"appliance.{name}: it is more than the {across} of the body")


def greatest_offset(rise: float, angle: float) -> float:
    """How far a pair of elbows can carry a flue sideways at most.

    Parameters
    ----------
    rise : float
        What the pair adds upwards [m]
    angle : float
        Angle of the elbows from the vertical [degrees]

    Returns
    -------
    float
        Sideways offset of a pair without any upright part [m]

    Examples
    --------
    >>> round(greatest_offset(0.4, 30), 4)
    0.2309

    References
    ----------
    Plane geometry.
    """
    return rise * math.tan(math.radians(angle))


def _slope(rise: float) -> str:
    return f"{rise:g} in 12 ({math.degrees(math.atan(rise / 12)):.0f}°)"
