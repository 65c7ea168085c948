"""What the parsers know of units, as a module the tablet's parsers read."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from calcs.lengths import FRACTIONS, LONGEST, LONGEST_TEXT, METRES, SIGNS, UNIT_WORDS
from calcs.quantities import scale
from calcs.quantity_kinds import BTU_PER_HOUR, KINDS, OTHER_KINDS, Kind

_WIDTH = 110


def units_javascript() -> Iterator[str]:
    """Every spelling, factor, label and example the parsers of lengths and quantities use.

    Returns
    -------
    Iterator of str
        The lines of the module [-]

    Examples
    --------
    >>> next(units_javascript())
    '// Written by `python -m calcs units --javascript`; a test compares. Change calcs, not this.'
    """
    yield "// Written by `python -m calcs units --javascript`; a test compares. Change calcs, not this."
    yield from (
        "",
        "/**",
        " * @typedef {[factor: number, offset: number]} Scale SI is what is written * factor + offset",
        " * @typedef {{scale: Scale, label: string, decimals: number}} Shown",
        " * @typedef {object} Kind",
        " * @property {string} example",
        " * @property {number | null} least In SI",
        " * @property {Record<string, Scale>} written By spelling, without spaces, dots and degree signs",
        " * @property {Record<string, Shown>} shown By system",
        " */",
    )
    yield from _constant("Metres in a unit, as decimals", "METRES", "Record<string, string>", _decimals())
    yield from _constant("Spellings of units of length", "UNIT_WORDS", "Record<string, string>", UNIT_WORDS)
    yield from _constant("Fractions of one sign", "FRACTIONS", "Record<string, string>", FRACTIONS)
    yield from _constant("Signs read as plainer ones", "SIGNS", "Record<string, string>", _signs())
    yield from _constant("Beyond any building, in metres", "LONGEST", "number", LONGEST)
    yield from _constant("Characters of one figure", "LONGEST_TEXT", "number", LONGEST_TEXT)
    yield from _constant("Units whose figures are grouped by commas", "GROUPED", "string[]", BTU_PER_HOUR)
    yield from _constant("Kinds without units of their own", "OTHER_KINDS", "string[]", OTHER_KINDS)
    kinds = {name: _kind(kind) for name, kind in KINDS.items()}
    yield from _constant("Kinds of quantity", "KINDS", "Record<string, Kind>", kinds)


def _decimals() -> dict[str, str]:
    return {unit: str(metres) for unit, metres in METRES.items()}


def _signs() -> dict[str, str]:
    return {chr(sign): plain for sign, plain in SIGNS.items()}


def _kind(kind: Kind) -> dict[str, Any]:
    return {
        "example": kind.example,
        "least": kind.least,
        "written": {spelled: scale(unit, kind.si) for spelled, unit in kind.written.items()},
        "shown": {
            system: {"scale": scale(unit, kind.si), "label": label, "decimals": decimals}
            for system, (unit, label, decimals) in kind.shown.items()
        },
    }


def _constant(about: str, name: str, kind: str, value: object) -> Iterator[str]:
    first, *rest = _literal(value, "", len(f"export const {name} = ;"))
    yield from ("", f"/** {about}. @type {{{kind}}} */")
    lines = [f"export const {name} = {first}", *rest]
    yield from lines[:-1]
    yield f"{lines[-1]};"


def _literal(value: object, indent: str, taken: int) -> list[str]:
    """The value on one line where it has room, else its parts on lines of their own."""
    short = _written(value)
    if len(indent) + taken + len(short) <= _WIDTH or not isinstance(value, Mapping):
        return [short]
    lines = ["{"]
    for key, part in value.items():
        first, *rest = _literal(part, f"{indent}  ", len(_key(key)) + 3)
        lines += [f"{indent}  {_key(key)}: {first}", *rest]
        lines[-1] += ","
    return [*lines, f"{indent}}}"]


def _written(value: object) -> str:
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{_key(key)}: {_written(part)}' for key, part in value.items())} }}"
    if isinstance(value, tuple):
        return f"[{', '.join(map(_written, value))}]"
    # Escapes show signs that look alike, or like nothing.
    return json.dumps(value)


def _key(key: str) -> str:
    return key if key.isascii() and key.isidentifier() else json.dumps(key)
