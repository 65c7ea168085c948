"""The working of a plan as lines a person can follow."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Source

_UNITS = {
    "m2": "m²",
    "m3": "m³",
    "m/s2": "m/s²",
    "deg": "°",
    "degC": "°C",
    "kg/m3": "kg/m³",
    "m2K/W": "m² K/W",
    "W/(m2K)": "W/(m² K)",
    "W/(m2 K)": "W/(m² K)",
    "count": "",
    "1": "",
    "-": "",
}
_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
#: A result nearer to nothing is what floats leave of zero.
_NOTHING = 1e-12


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

    @property
    def si(self) -> str:
        """The result with its SI unit, "" where there is none."""
        if self.result is None:
            return ""
        return f"{_number(self.result)} {_UNITS.get(self.unit, self.unit)}".strip()


def _number(value: float) -> str:
    """Five digits, whole numbers in full, powers of ten as people write them."""
    if abs(value) < _NOTHING:
        return "0"
    if 1e4 <= abs(value) < 1e7:
        return f"{value:.0f}"
    digits, _, power = f"{value:.5g}".partition("e")
    return f"{digits} × 10{str(int(power)).translate(_POWERS)}" if power else digits
