"""Rule books: one per jurisdiction, every figure with its section, edition and provenance."""

from __future__ import annotations

import hashlib
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from calcs.checks import Limit, Provenance, Source, SourceKind

FOLDER = Path(__file__).with_name("rulebooks")

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


@dataclass(frozen=True)
class Rule:
    """One figure of a code. `value` is in SI and None for a rule in words; `upper` ends a range."""

    key: str
    value: float | None
    unit: str
    as_printed: str
    section: str
    source: Source
    note: str = ""
    upper: float | None = None


@dataclass(frozen=True)
class Row:
    """One line of a table; figures in SI, None where the code permits nothing."""

    key: str
    name: str
    figures: Mapping[str, tuple[float | None, ...]]
    source: Source
    note: str = ""

    def one(self, name: str) -> float | None:
        """Return a figure that stands in a single cell; None if the row does not hold it."""
        cells = self.figures.get(name, ())
        return cells[0] if cells else None


@dataclass(frozen=True)
class Table:
    """A table of a code. `columns` are the heads of its figure columns in SI, empty for single cells."""

    key: str
    columns: tuple[float, ...]
    rows: Mapping[str, Row]
    section: str
    source: Source
    note: str = ""


@dataclass(frozen=True)
class RuleBook:
    """The rules of one jurisdiction. A rule that is missing gives None, never a default."""

    code: str
    title: str
    edition: str
    rules: Mapping[str, Rule]
    tables: Mapping[str, Table] = field(default_factory=dict)
    digest: str = ""

    def find(self, key: str) -> Rule | None:
        """Return the rule, or None when this book does not hold it."""
        return self.rules.get(key)

    def value(self, key: str) -> float | None:
        """Return the rule's figure in SI, or None when this book does not hold it."""
        rule = self.rules.get(key)
        return rule.value if rule else None

    def limit(self, key: str, side: str = "minimum") -> Limit | None:
        """Return the rule as a limit, or None when this book does not hold it.

        Parameters
        ----------
        key : str
            Key of the rule, such as `termination.above_radius` [-]
        side : str
            minimum | maximum | exact | range (from `value` to `upper`) [-]

        Returns
        -------
        Limit | None
            The limit in SI [as the rule]

        Raises
        ------
        ValueError
            `side` is none of the four.

        Examples
        --------
        >>> load_rulebook("us").limit("hearth.front.listed").minimum
        0.4064
        """
        if side not in {"minimum", "maximum", "exact", "range"}:
            raise ValueError(f"side must be minimum, maximum, exact or range, not {side!r}")
        rule = self.rules.get(key)
        if rule is None or rule.value is None or (side == "range" and rule.upper is None):
            return None
        low = rule.value if side != "maximum" else None
        high = {"minimum": None, "range": rule.upper}.get(side, rule.value)
        return Limit(low, high, rule.unit, rule.source)

    def table(self, key: str) -> Table | None:
        """Return a table, or None when this book does not hold it."""
        return self.tables.get(key)


def codes() -> tuple[str, ...]:
    """Codes of the rule books that come with the program.

    Returns
    -------
    tuple[str, ...]
        The codes in alphabetical order [-]

    Examples
    --------
    >>> codes()
    ('ca', 'uk', 'us')
    """
    return tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))


@cache
def load_rulebook(code: str) -> RuleBook:
    """Return the rule book of a jurisdiction.

    Parameters
    ----------
    code : str
        us | ca | uk [-]

    Returns
    -------
    RuleBook
        Its rules and tables, figures in SI [-]

    Raises
    ------
    ValueError
        No such book; the sentence lists the codes there are.

    Examples
    --------
    >>> load_rulebook("ca").find("termination.above_penetration").as_printed
    '900 mm'
    """
    if code not in codes():
        raise ValueError(f"There is no rule book {code!r}; choose one of {', '.join(codes())}.")
    return read_rulebook((FOLDER / f"{code}.toml").read_bytes(), name=f"{code}.toml")


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
    return Source(kind, reference, entry.get("edition", told.get("edition", "")), provenance)


def _rule(key: str, entry: dict[str, Any], sources: dict[str, Any], name: str) -> Rule:
    _only(key, entry, _RULE_FIELDS, name)
    printed_unit = "words" if "words" in entry else entry.get("unit", "")
    unit, _, _ = _unit(key, printed_unit, name)
    value = upper = None
    if printed_unit == "words":
        as_printed = str(entry["words"])
    else:
        value = _figure(key, entry.get("value"), printed_unit, name)
        as_printed = f"{entry['value']:g}"
        if "upper" in entry:
            upper = _figure(key, entry["upper"], printed_unit, name)
            as_printed += f" to {entry['upper']:g}"
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
        figures = {}
        for cell, printed_unit in fields.items():
            given = row.get(cell, "-")
            cells = given if isinstance(given, list) else [given]
            if columns and len(cells) != len(columns):
                raise ValueError(f"{name}: {where}: {cell} needs {len(columns)} figures")
            figures[cell] = tuple(
                None if one == "-" else _figure(where, one, printed_unit, name) for one in cells
            )
        told = {**entry, "provenance": row.get("provenance", entry.get("provenance", ""))}
        rows[row["key"]] = Row(
            key=row["key"],
            name=row["name"],
            figures=MappingProxyType(figures),
            source=_source(where, told, sources, name),
            note=row.get("note", ""),
        )
    return Table(
        key=key,
        columns=columns,
        rows=MappingProxyType(rows),
        section=entry.get("section", ""),
        source=_source(key, entry, sources, name),
        note=entry.get("note", ""),
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
