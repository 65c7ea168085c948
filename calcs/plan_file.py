"""A plan's inputs as a JSON file that a person may write."""

from __future__ import annotations

import json
import re
import types
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

from calcs.rulebook import FOLDER, RuleBook, codes, load_rulebook
from calcs.survey import Appliance, Chimney, Survey
from calcs.units import parse_length, parse_quantity

#: What a figure typed with its unit is, where it is no length.
_KINDS: Mapping[str, str] = {
    "appliance.nominal_output": "power",
    "appliance.minimum_output": "power",
    "appliance.flue_gas_temperature": "temperature",
    "appliance.minimum_gas_temperature": "temperature",
    "appliance.flue_gas_mass_flow": "mass flow",
    "appliance.minimum_gas_mass_flow": "mass flow",
    "appliance.flue_gas_co2": "ratio",
    "appliance.efficiency": "ratio",
    "appliance.least_draft": "draft",
    "appliance.minimum_output_draft": "draft",
    "appliance.hearth_resistance": "thermal resistance",
    "chimney.thermal_resistance": "thermal resistance",
    "chimney.sections.cost": "ratio",
    "survey.outside_temperature": "temperature",
    "survey.room_temperature": "temperature",
    "survey.attic_temperature": "temperature",
    "survey.fuel_moisture": "ratio",
    "survey.air_permeability": "air permeability",
    "survey.air_vent_area": "area",
    "survey.hearth_layers.resistance": "thermal resistance",
}
_SLOPES = frozenset({"survey.roof_rise", "survey.ceiling_rise"})
_PARTS = {"survey": Survey, "appliance": Appliance, "chimney": Chimney}


@dataclass(frozen=True)
class PlanInputs:
    """What `calcs.plan.make_plan` asks for."""

    survey: Survey
    appliance: Appliance
    chimney: Chimney
    rulebook: RuleBook
    system: str | None = None


def read_plan_inputs(text: str, folder: Path = FOLDER) -> PlanInputs:
    """Inputs of a plan from JSON.

    Parameters
    ----------
    text : str
        An object with `rulebook`, `survey`, `appliance`, `chimney` and, if wanted, `system` and `edition`,
        the rule book's where it is not the one that holds now. A figure is a number in SI, or text with its
        unit such as "22 1/2 in", "480 F" or "6/12"; null or a key left out is not known [-]
    folder : Path
        Where the rule books are [-]

    Returns
    -------
    PlanInputs
        The inputs [-]

    Raises
    ------
    ValueError
        The text is no JSON, or holds what is not understood; the sentence names the place.

    Examples
    --------
    >>> inputs = read_plan_inputs('{"rulebook": "us", "survey": {"rear_wall": "14 in", "roof_rise": "6/12"}}')
    >>> inputs.survey.rear_wall, inputs.survey.roof_rise
    (0.3556, 6.0)
    """
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        raise ValueError(f"line {error.lineno}, column {error.colno}: {error.msg}") from error
    if not isinstance(data, dict):
        raise ValueError(
            f"the file holds {_what(data)}; write an object with rulebook, survey, appliance, chimney"
        )
    if extra := sorted(set(data) - {*_PARTS, "rulebook", "edition", "system"}):
        keys = ", ".join(("rulebook", "edition", "system", *_PARTS))
        raise ValueError(f"{extra[0]}: not known; the keys are {keys}")
    code = data.get("rulebook")
    if code not in codes():
        raise ValueError(f"rulebook: {code!r} is none; choose one of {', '.join(codes())}")
    if data.get("system") not in {None, "imperial", "metric"}:
        raise ValueError(f"system: {data['system']!r} is not imperial or metric")
    edition = data.get("edition")
    if not isinstance(edition, str | None):
        raise ValueError(f"edition: it holds {_what(edition)}; write text")
    parts = {name: _record(record, data.get(name, {}), name) for name, record in _PARTS.items()}
    return PlanInputs(rulebook=load_rulebook(code, edition, folder), system=data.get("system"), **parts)


def input_kinds() -> dict[str, str]:
    """What each figure of the inputs is, by its name.

    Returns
    -------
    dict of str to str
        Kind of quantity as `calcs.units.parse_quantity` names it [-]

    Examples
    --------
    >>> input_kinds()["survey.rear_wall"], input_kinds()["appliance.least_draft"]
    ('length', 'draft')
    """
    return {
        f"{name}.{field.name}": _kind(f"{name}.{field.name}")
        for name, record in _PARTS.items()
        for field in fields(record)
        if _is_figure(_hints(record)[field.name])
    }


@cache
def _hints(record: type) -> dict[str, Any]:
    return get_type_hints(record)


def _is_figure(hint: Any) -> bool:
    return float in (hint, *get_args(hint))


def _kind(name: str) -> str:
    return "slope" if name in _SLOPES else _KINDS.get(name, "length")


def _record(record: type, data: Any, name: str) -> Any:
    if not isinstance(data, dict):
        raise ValueError(f"{name}: it holds {_what(data)}; write an object with the names of its fields")
    known = {field.name: field for field in fields(record)}
    for key in data:
        if key not in known:
            raise ValueError(f"{name}.{key}: not known; the names are {', '.join(known)}")
    given = {key: _value(_hints(record)[key], value, f"{name}.{key}") for key, value in data.items()}
    try:
        return record(**given)
    except TypeError:
        needed = [key for key in known if key not in given and _needed(known[key])]
        raise ValueError(f"{name}: {', '.join(needed)} has to be given") from None


def _needed(field: Any) -> bool:
    return field.default is field.default_factory


def _value(hint: Any, value: Any, name: str) -> Any:
    origin, arguments = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return (
            None
            if value is None
            else _value(next(one for one in arguments if one is not type(None)), value, name)
        )
    if origin is tuple:
        if not isinstance(value, list):
            raise ValueError(f"{name}: it holds {_what(value)}; write a list")
        return tuple(_value(arguments[0], one, f"{name}[{index}]") for index, one in enumerate(value))
    if origin is dict:
        if not isinstance(value, dict):
            raise ValueError(f"{name}: it holds {_what(value)}; write an object")
        owner = name.partition(".")[0]
        return {key: _figure(one, f"{owner}.{key}", f"{name}.{key}") for key, one in value.items()}
    if is_dataclass(hint):
        return _record(hint, value, name)  # type: ignore[arg-type]
    if hint is float:
        return _figure(value, name, name)
    if type(value) is not hint:
        wanted = {bool: "true or false", int: "a whole number", str: "text"}[hint]
        raise ValueError(f"{name}: it holds {_what(value)}; write {wanted}")
    return value


def _figure(value: Any, asked: str, name: str) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if not isinstance(value, str):
        raise ValueError(f"{name}: it holds {_what(value)}; write a number in SI or text with its unit")
    kind = _kind(re.sub(r"\[\d+\]", "", asked))
    try:
        if kind != "length":
            figure = parse_quantity(value, kind)
            return 12 * figure if kind == "slope" else figure
        if not re.search("[a-z'\"′″]", value.lower()):
            raise ValueError(f"“{value}” has no unit; write it like 22 1/2 in or 571.5 mm")
        return parse_length(value)
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from error


def _what(value: Any) -> str:
    return {dict: "an object", list: "a list", str: "text", bool: "true or false", type(None): "nothing"}.get(
        type(value), "a number"
    )
