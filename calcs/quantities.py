"""Quantities other than length as people write them, to SI and back."""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

from calcs.lengths import LONGEST_TEXT, UnitError, format_length, parse_length, rounded
from calcs.quantity_kinds import BTU_PER_HOUR, KINDS, OTHER_KINDS

_NUMBER = re.compile(r"\s*([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))\s*(.*)")
_THOUSANDS = re.compile(r"\s*([1-9][0-9]{0,2}(?:,[0-9]{3})+)\s*([^0-9.,].*)?")


@cache
def _registry() -> Any:
    """Pint's registry takes a quarter of a second to build, so nobody pays for it before it is needed."""
    import pint  # noqa: PLC0415

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    # Conventional water, as draft gauges are marked.
    registry.define("millimetre_water = 9.80665 pascal")
    registry.define("inch_water = 25.4 * millimetre_water")
    return registry


@cache
def scale(unit: str, si: str) -> tuple[float, float]:
    """What turns a written figure into SI: written * factor + offset, for every unit here is linear.

    Parameters
    ----------
    unit : str
        Pint's name of the unit [-]
    si : str
        Pint's name of the unit it is turned into [-]

    Returns
    -------
    tuple of float
        Factor and offset [SI]
    """
    registry = _registry()
    zero = float(registry.Quantity(0.0, unit).to(si).magnitude)
    hundred = float(registry.Quantity(100.0, unit).to(si).magnitude)
    return (hundred - zero) / 100, zero


def parse_quantity(text: str, kind: str, default_unit: str = "") -> float:
    """Quantity from what a person wrote.

    Parameters
    ----------
    text : str
        A number with its unit, such as `0.05 in w.c.` [-]
    kind : str
        length | draft | concentration | temperature | power | mass flow | area | thermal resistance |
        ratio | percent | count | slope [-]
    default_unit : str
        Unit of a bare number, written as a person would; "" refuses a bare number where a unit is
        needed. A bare length is in inches unless this says otherwise [-]

    Returns
    -------
    float
        In SI; temperature in degrees Celsius; ratio, percent and slope as a plain number [as the kind]

    Raises
    ------
    UnitError
        The text is empty, not understood, lacks a unit, or is below what can be. It is a ValueError.

    Notes
    -----
    A bare number is a ratio for `ratio` and a percentage for `percent`. A slope is written per foot, per
    metre, in percent, as `1 in 40`, or as a roof pitch such as `6/12`. A comma is a decimal comma; before
    three digits it could be either and is refused, but in Btu/h, which nobody writes to three decimals, it
    groups thousands.

    Examples
    --------
    >>> parse_quantity("12 Pa", "draft"), round(parse_quantity("0.05 in w.c.", "draft"), 2)
    (12.0, 12.45)
    >>> parse_quantity("482 F", "temperature"), parse_quantity("20 %", "ratio")
    (250.0, 0.2)
    >>> round(parse_quantity("1/4 in per ft", "slope"), 5), parse_quantity("6/12", "slope")
    (0.02083, 0.5)

    References
    ----------
    Conversions by pint; water column at 9.80665 Pa a millimetre (conventional).
    """
    if kind == "length":
        return parse_length(text, default_unit or "in")
    if len(text) > LONGEST_TEXT:
        raise UnitError("too_much_text", f"Type one quantity in at most {LONGEST_TEXT} characters.")
    if not text.strip():
        raise UnitError("empty", f"Type a {kind}.")
    if kind == "slope":
        return _slope(text)
    if kind in {"ratio", "percent"}:
        return _ratio(text, kind)
    if kind == "count":
        return _count(text)
    if kind not in KINDS:
        raise UnitError("kind", f"kind must be one of {', '.join((*OTHER_KINDS, *KINDS))}, not {kind!r}.")
    known = KINDS[kind]
    number, unit = _split(_without_thousands(text, default_unit), known.example)
    spelled = _spelling(unit or default_unit)
    if not spelled:
        raise UnitError("no_unit", f"“{text.strip()}” has no unit; write it like {known.example}.")
    if spelled not in known.written:
        raise UnitError("unknown_unit", f"“{unit}” is no unit of {kind} known here; use {known.example}.")
    factor, offset = scale(known.written[spelled], known.si)
    value = float(f"{number * factor + offset:.12g}")
    if known.least is not None and value < known.least:
        raise UnitError("too_low", f"“{text.strip()}” is less than a {kind} can be.")
    return value


def format_quantity(value: float, kind: str, system: str = "metric", *, rounding: str = "nearest") -> str:
    """Quantity the way it is read.

    Parameters
    ----------
    value : float
        In SI, as `parse_quantity` returns it [as the kind]
    kind : str
        As for `parse_quantity` [-]
    system : str
        metric | imperial [-]
    rounding : str
        nearest | up | down: up never shows a least figure as less than it is, so that what is shown as
        enough is enough when it is typed back in [-]

    Returns
    -------
    str
        Number and unit [-]

    Raises
    ------
    ValueError
        The value is no number, or kind, system or rounding is not known.

    Examples
    --------
    >>> format_quantity(12.0, "draft"), format_quantity(12.0, "draft", "imperial")
    ('12.0 Pa', '0.048 in w.c.')
    >>> format_quantity(12.0, "draft", "imperial", rounding="up")
    '0.049 in w.c.'
    >>> format_quantity(0.2, "percent"), format_quantity(1 / 48, "slope", "imperial")
    ('20 %', '1/4 in per ft')

    References
    ----------
    Conversions by pint.
    """
    if not math.isfinite(value):
        raise ValueError(f"value must be a number, not {value!r}")
    if system not in {"metric", "imperial"}:
        raise ValueError(f"system must be metric or imperial, not {system!r}")
    simple = {
        "length": lambda: format_length(value, system, rounding=rounding),
        "count": lambda: f"{value:g}",
        "ratio": lambda: f"{rounded(value, 3, rounding):g}",
        "percent": lambda: f"{rounded(value * 100, 1, rounding):g} %",
        "slope": lambda: (
            f"{rounded(value * 1000, 1, rounding):g} mm/m"
            if system == "metric"
            else f"{format_length(value * 0.3048, rounding=rounding)} per ft"
        ),
    }
    if kind in simple:
        return simple[kind]()
    if kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join((*OTHER_KINDS, *KINDS))}, not {kind!r}")
    known = KINDS[kind]
    unit, label, decimals = known.shown[system]
    factor, offset = scale(unit, known.si)
    return f"{rounded((value - offset) / factor, decimals, rounding):.{decimals}f} {label}"


def _spelling(unit: str) -> str:
    plain = unit.lower().replace("₂", "2").replace("″", '"').replace("”", '"')
    plain = re.sub(r"deg(?:rees?)?(?=\s*[cf])", "", plain).replace("per", "/")
    return re.sub(r"[\s._°º·*]+", "", plain)


def _without_thousands(text: str, default_unit: str) -> str:
    """Take grouping commas out of a figure in Btu/h."""
    found = _THOUSANDS.fullmatch(text)
    if found and _spelling(found[2] or default_unit) in BTU_PER_HOUR:
        return f"{found[1].replace(',', '')} {found[2] or ''}"
    return text


def _split(text: str, example: str) -> tuple[float, str]:
    plain = text.replace("−", "-").replace("\u00a0", " ")
    found = _NUMBER.fullmatch(plain)
    if found is None or re.match(r"[\s]*[0-9/,.]", found[2]):
        raise UnitError("not_understood", f"“{text.strip()}” was not understood; write it like {example}.")
    if re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", found[1]):
        raise UnitError(
            "ambiguous_comma",
            f"“{found[1]}” could be one and a bit or a thousand and more; write it without the comma.",
        )
    return float(found[1].replace(",", ".")), found[2].strip()


def _ratio(text: str, kind: str) -> float:
    number, unit = _split(text, "20 %")
    spelled = unit.lower().rstrip(".")
    if spelled in {"%", "percent", "pc"}:
        return number / 100
    if spelled:
        raise UnitError("unknown_unit", f"“{unit}” is no unit of {kind}; write it like 20 %.")
    return number / 100 if kind == "percent" else number


def _count(text: str) -> float:
    if not re.fullmatch(r"\s*[0-9]{1,9}\s*", text, re.ASCII):
        raise UnitError("not_understood", f"“{text.strip()}” is no count; write a whole number such as 3.")
    return float(text)


def _slope(text: str) -> float:
    example = "1/4 in per ft, 20 mm/m, 2 %, 1 in 40 or 6/12"
    plain = re.sub(r"\s+", " ", text.replace("−", "-").strip().lower())
    if pitch := re.fullmatch(r"([0-9.]+) ?(?:/|:|in) ?([0-9.]+)", plain):
        return _one_in(pitch, plain, example)
    if plain.endswith(("%", "percent")):
        return _ratio(plain, "percent")
    per = re.fullmatch(r"(.+?)(?: per |/)(?:1 )?(ft|foot|m|metre|meter)\.?", plain)
    if per is None:
        raise UnitError("not_understood", f"“{text.strip()}” is no slope; write it like {example}.")
    run = 0.3048 if per[2] in {"ft", "foot"} else 1.0
    return float(f"{parse_length(per[1]) / run:.12g}")


def _one_in(pitch: re.Match[str], plain: str, example: str) -> float:
    try:
        rise, run = float(pitch[1]), float(pitch[2])
    except ValueError:
        raise UnitError("not_understood", f"“{plain}” is no slope; write it like {example}.") from None
    if run == 0:
        raise UnitError("zero_denominator", f"“{plain}” divides by zero; write it like {example}.")
    if "/" in plain and run != 12:
        raise UnitError("no_unit", f"“{plain}” has no unit; write it like {example}.")
    return rise / run
