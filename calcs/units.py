"""People's units at the edge: text to SI and back. SI everywhere else."""

from calcs.lengths import FOOT, INCH, UnitError, format_both, format_length, parse_length, parse_measure
from calcs.quantities import format_quantity, parse_quantity
from calcs.quantity_kinds import KINDS

__all__ = [
    "FOOT",
    "INCH",
    "KINDS",
    "UnitError",
    "format_both",
    "format_length",
    "format_quantity",
    "parse_length",
    "parse_measure",
    "parse_quantity",
]
