"""The working of a plan as lines a person can follow."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Source


@dataclass(frozen=True)
class Step:
    """One line of a working: what is reckoned, by which relation, and what came out in SI.

    `symbol` is how later relations call the result, "" where none does. `kind` is what
    `calcs.units.format_quantity` writes the result as, "" for a bare number or one whose `unit` is printed
    as it stands.
    """

    says: str
    relation: str = ""
    symbol: str = ""
    result: float | None = None
    unit: str = ""
    kind: str = ""
    source: Source | None = None

    @property
    def formula(self) -> str:
        """The symbol and what it equals, as far as either is there."""
        if not self.symbol or self.relation.startswith(f"{self.symbol} ="):
            return self.relation or self.symbol
        return f"{self.symbol} = {self.relation}" if self.relation else self.symbol
