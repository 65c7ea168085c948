"""What a rule book is made of: rules, tables and their rows, figures in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from calcs.checks import Limit, Source


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
    #: The same cells as the code prints them, in the unit of their field.
    as_printed: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

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
    #: Figure column -> (unit as printed, unit in SI), and the heads of the columns as printed.
    fields: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    heads: tuple[str, ...] = ()


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
        >>> from calcs.rulebook import load_rulebook
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
