"""Figures in SI as people read them: units by system, limits as words."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Limit
from calcs.units import format_length, format_quantity
from calcs.wording import sheet_thickness

NOT_KNOWN = "not known"
SYSTEMS = ("imperial", "metric")
#: From here on a length reads better in feet and inches.
FEET_FROM = 10.0
#: Kind of quantity behind an SI unit, for calcs.units.
_KIND_OF_UNIT = {
    "m": "length",
    "m2": "area",
    "Pa": "draft",
    "ppm": "concentration",
    "degC": "temperature",
    "W": "power",
    "kg/s": "mass flow",
    "m2K/W": "thermal resistance",
    "count": "count",
    "1": "percent",
}
#: Lengths so short that a rule of sixteenths cannot tell them.
SHEET_METAL = "sheet metal"
_SHEETS = frozenset({"connector.thickness"})
#: Limits without a unit that are slopes rather than shares.
_SLOPES = frozenset({"connector.slope"})


def kind_of(unit: str, name: str = "") -> str:
    """Return the kind of quantity a limit's unit stands for; its name tells a slope from a share."""
    if name in _SHEETS:
        return SHEET_METAL
    if unit == "1" and name in _SLOPES:
        return "slope"
    return _KIND_OF_UNIT.get(unit, "")


def figure_words(value: float | None, kind: str, system: str = "metric", *, rounding: str = "nearest") -> str:
    """Return a figure with its unit, or that it is not known."""
    if value is None:
        return NOT_KNOWN
    if kind == SHEET_METAL:
        return sheet_thickness(float(value), system)
    if kind == "length":
        return format_length(float(value), system, feet_from=FEET_FROM, rounding=rounding)
    if kind:
        shown = "percent" if kind == "ratio" else kind
        return format_quantity(float(value), shown, system, rounding=rounding)
    return f"{value:g}"


def measured_words(value: float | None, limit: Limit | None, kind: str, system: str = "metric") -> str:
    """Return a measured figure; one that misses its limit never reads as if it met it."""
    rounding = "nearest"
    if value is not None and limit is not None:
        if limit.minimum is not None and value < limit.minimum - EQUAL_WITHIN:
            rounding = "down"
        elif limit.maximum is not None and value > limit.maximum + EQUAL_WITHIN:
            rounding = "up"
    return figure_words(value, kind, system, rounding=rounding)


def limit_words(limit: Limit | None, name: str = "", system: str = "metric") -> str:
    """Return a limit as a person would say it; a least figure is never shown as less than it is."""
    if limit is None:
        return NOT_KNOWN
    kind = kind_of(limit.unit, name)
    least = figure_words(limit.minimum, kind, system, rounding="up")
    most = figure_words(limit.maximum, kind, system, rounding="down")
    if limit.minimum is None:
        return f"at most {most}" if limit.maximum is not None else "no limit"
    if limit.maximum is None:
        return f"at least {least}"
    return least if least == most else f"{least} to {most}"


def source_words(limit: Limit | None) -> str:
    """Return where a limit comes from: kind, reference, edition and how it was learned."""
    if limit is None:
        return ""
    source = limit.source
    parts = [str(source.kind)]
    if source.reference and source.reference != source.kind:
        parts.append(source.reference)
    if source.edition:
        parts.append(source.edition)
    return f"{', '.join(parts)} ({source.provenance})"
