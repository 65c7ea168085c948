"""Reads the file of a rule book, and refuses what it does not understand."""

from __future__ import annotations

import hashlib
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from calcs.checks import Provenance, Source, SourceKind
from calcs.rule import Row, Rule, RuleBook, Table

_INCH = 0.0254
_FOOT = 12 * _INCH
#: Unit as a code prints it -> (SI unit, factor, offset); SI = printed * factor + offset.
UNITS: Mapping[str, tuple[str, float, float]] = MappingProxyType(
    {
        "in": ("m", _INCH, 0.0),
        "ft": ("m", _FOOT, 0.0),
        "mm": ("m", 1e-3, 0.0),
        "m": ("m", 1.0, 0.0),
        "in2": ("m2", _INCH**2, 0.0),
        "mm2": ("m2", 1e-6, 0.0),
        "in3": ("m3", _INCH**3, 0.0),
        "in/ft": ("1", 1 / 12, 0.0),
        "mm/m": ("1", 1e-3, 0.0),
        "%": ("1", 1e-2, 0.0),
        "x": ("1", 1.0, 0.0),
        "count": ("count", 1.0, 0.0),
        "deg": ("deg", 1.0, 0.0),
        "degC": ("degC", 1.0, 0.0),
        "degF": ("degC", 5 / 9, -160 / 9),
        "kW": ("W", 1e3, 0.0),
        "Pa": ("Pa", 1.0, 0.0),
        "mm2/kW": ("m2/W", 1e-9, 0.0),
        "m3/(h.m2)": ("m/s", 1 / 3600, 0.0),
        "ug/m3": ("kg/m3", 1e-9, 0.0),
        "ppm": ("ppm", 1.0, 0.0),
        "min": ("s", 60.0, 0.0),
        "day": ("day", 1.0, 0.0),
        "month": ("month", 1.0, 0.0),
        "year": ("month", 12.0, 0.0),
        "words": ("words", 1.0, 0.0),
    }
)
_RULE_FIELDS = {"value", "upper", "unit", "words", "source", "section", "edition", "provenance", "note"}
_TABLE_FIELDS = {"fields", "columns", "columns_unit", "rows", "source", "section", "provenance", "note"}
_ROW_FIELDS = {"key", "name", "provenance", "note"}
_NOT_RULES = {"code", "title", "edition", "sources", "table"}


def read_rulebook(content: bytes, name: str) -> RuleBook:
    """Build a rule book from the text of its file and refuse anything not understood.

    Parameters
    ----------
    content : bytes
        The TOML text, UTF-8 [-]
    name : str
        File name to use in error sentences [-]

    Returns
    -------
    RuleBook
        Its rules and tables, figures in SI [-]

    Raises
    ------
    ValueError
        A duplicate key, an unknown unit, provenance, source or field; names the rule and the file.

    Examples
    --------
    >>> read_rulebook(b'code = "xx"', "xx.toml")
    Traceback (most recent call last):
    ValueError: xx.toml: the book needs title
    """
    try:
        text = content.decode()
        data = tomllib.loads(text)
    except UnicodeDecodeError as error:
        raise ValueError(f"{name}: {error}") from error
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{name}: {_where(text, str(error))}: {error}") from error
    for needed in ("code", "title", "edition", "sources"):
        if needed not in data:
            raise ValueError(f"{name}: the book needs {needed}")
    sources = data["sources"]
    rules = {}
    for topic in data.keys() - _NOT_RULES:
        for key, entry in _flatten(topic, data[topic], name):
            rules[key] = _rule(key, entry, sources, name)
    tables = {
        f"{topic}.{key}": _table(f"{topic}.{key}", entry, sources, name)
        for topic, entries in data.get("table", {}).items()
        for key, entry in entries.items()
    }
    return RuleBook(
        code=data["code"],
        title=data["title"],
        edition=data["edition"],
        rules=MappingProxyType(dict(sorted(rules.items()))),
        tables=MappingProxyType(dict(sorted(tables.items()))),
        digest=hashlib.sha256(content).hexdigest(),
    )


def _where(text: str, complaint: str) -> str:
    """Name the rule a TOML complaint is about; the parser itself tells only the line."""
    lines = text.splitlines()
    told = re.search(r"line (\d+)", complaint)
    read = lines[: int(told[1])] if told else lines
    entry = next((line for line in reversed(read) if line.strip()), "")
    topic = next((line.strip(" []") for line in reversed(read) if line.startswith("[")), "")
    key = entry.split("=")[0].strip() if "=" in entry else ""
    return ".".join(part for part in (topic, key) if part) or "the first line"


def _flatten(key: str, entry: Any, name: str) -> list[tuple[str, dict[str, Any]]]:
    if not isinstance(entry, dict):
        raise ValueError(f"{name}: {key}: expected a rule with a source")
    if "source" in entry and not isinstance(entry["source"], dict):
        return [(key, entry)]
    found = []
    for part, inner in entry.items():
        found.extend(_flatten(f"{key}.{part}", inner, name))
    return found


def _source(key: str, entry: dict[str, Any], sources: dict[str, Any], name: str) -> Source:
    told = sources.get(entry.get("source", ""))
    if told is None:
        raise ValueError(f"{name}: {key}: unknown source {entry.get('source')!r}")
    try:
        provenance = Provenance(entry.get("provenance", ""))
    except ValueError:
        words = ", ".join(Provenance)
        raise ValueError(
            f"{name}: {key}: unknown provenance {entry.get('provenance')!r}; use one of {words}"
        ) from None
    try:
        kind = SourceKind(told["kind"])
    except ValueError:
        raise ValueError(f"{name}: {key}: unknown kind of source {told['kind']!r}") from None
    reference = f"{told['reference']} {entry.get('section', '')}".strip()
    return Source(kind, reference, entry.get("edition", told.get("edition", "")), provenance, key)


def _rule(key: str, entry: dict[str, Any], sources: dict[str, Any], name: str) -> Rule:
    _only(key, entry, _RULE_FIELDS, name)
    printed_unit = "words" if "words" in entry else entry.get("unit", "")
    unit, _, _ = _unit(key, printed_unit, name)
    value = upper = None
    if printed_unit == "words":
        as_printed = str(entry["words"])
    else:
        value = _figure(key, entry.get("value"), printed_unit, name)
        as_printed = _printed(entry["value"])
        if "upper" in entry:
            upper = _figure(key, entry["upper"], printed_unit, name)
            as_printed += f" to {_printed(entry['upper'])}"
        as_printed += "" if printed_unit == "count" else f" {printed_unit}"
    return Rule(
        key=key,
        value=value,
        unit=unit,
        as_printed=as_printed,
        section=entry.get("section", ""),
        source=_source(key, entry, sources, name),
        note=entry.get("note", ""),
        upper=upper,
    )


def _table(key: str, entry: dict[str, Any], sources: dict[str, Any], name: str) -> Table:
    _only(key, entry, _TABLE_FIELDS, name)
    fields: dict[str, str] = entry["fields"]
    for printed_unit in fields.values():
        _unit(key, printed_unit, name)
    columns = tuple(
        _figure(key, head, entry.get("columns_unit", ""), name) for head in entry.get("columns", ())
    )
    rows: dict[str, Row] = {}
    for row in entry["rows"]:
        where = f"{key}[{row.get('key', '?')}]"
        _only(where, row, _ROW_FIELDS | fields.keys(), name)
        if row["key"] in rows:
            raise ValueError(f"{name}: {where}: this row stands twice")
        figures, printed = {}, {}
        for cell, printed_unit in fields.items():
            given = row.get(cell, "-")
            cells = given if isinstance(given, list) else [given]
            if columns and len(cells) != len(columns):
                raise ValueError(f"{name}: {where}: {cell} needs {len(columns)} figures")
            figures[cell] = tuple(
                None if one == "-" else _figure(where, one, printed_unit, name) for one in cells
            )
            printed[cell] = tuple(one if one == "-" else _printed(one) for one in cells)
        told = {**entry, "provenance": row.get("provenance", entry.get("provenance", ""))}
        rows[row["key"]] = Row(
            key=row["key"],
            name=row["name"],
            figures=MappingProxyType(figures),
            source=replace(_source(where, told, sources, name), rule=f"{key}#{row['key']}"),
            note=row.get("note", ""),
            as_printed=MappingProxyType(printed),
        )
    return Table(
        key=key,
        columns=columns,
        rows=MappingProxyType(rows),
        section=entry.get("section", ""),
        source=_source(key, entry, sources, name),
        note=entry.get("note", ""),
        fields=MappingProxyType({cell: (unit, UNITS[unit][0]) for cell, unit in fields.items()}),
        heads=tuple(f"{_printed(head)} {entry['columns_unit']}" for head in entry.get("columns", ())),
    )


def _only(key: str, entry: dict[str, Any], known: set[str], name: str) -> None:
    if extra := sorted(set(entry) - known):
        raise ValueError(f"{name}: {key}: unknown field {', '.join(extra)}")


def _unit(key: str, printed: str, name: str) -> tuple[str, float, float]:
    if printed not in UNITS:
        raise ValueError(f"{name}: {key}: unknown unit {printed!r}; use one of {', '.join(UNITS)}")
    return UNITS[printed]


def _figure(key: str, value: Any, printed_unit: str, name: str) -> float:
    _, factor, offset = _unit(key, printed_unit, name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{name}: {key}: {value!r} is not a number")
    # Ten significant digits keep 16 in at 0.4064 m instead of 0.40640000000000004 m.
    return float(f"{value * factor + offset:.10g}")


def _printed(value: float) -> str:
    return f"{value:g}"
