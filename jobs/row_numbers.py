"""Keys of rows in addresses and forms: numbers that every database can hold."""

from __future__ import annotations

import re

from django.urls import register_converter


class RowNumber:
    """A key in an address, `<row:pk>`. One of more digits than a column holds belongs to nothing."""

    regex = "[0-9]{1,18}"

    def to_python(self, value: str) -> int:
        """Return the number."""
        return int(value)

    def to_url(self, value: int) -> str:
        """Return the digits."""
        return str(value)


def row_number(text: str) -> int:
    """Return the key that a plain field of a form names; 0, which no row has, for anything else."""
    return int(text) if re.fullmatch(RowNumber.regex, text) else 0


def register() -> None:
    """Make `<row:...>` known to addresses."""
    register_converter(RowNumber, "row")
