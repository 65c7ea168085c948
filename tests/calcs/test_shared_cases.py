"""The tables of cases that every parser and writer of figures is held to, here and on the tablet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from calcs.lengths import METRES, UNIT_WORDS
from calcs.quantity_kinds import KINDS
from calcs.unit_javascript import units_javascript
from calcs.units import UnitError, format_length, format_quantity, parse_length, parse_quantity
from inspections.checklists.limit_names import KNOWN_LIMITS

ROOT = Path(__file__).parents[2]


def cases(name: str) -> list[Any]:
    """Every case of a table with what its group says of all of them."""
    groups = json.loads((ROOT / "tests" / "cases" / name).read_text(encoding="utf-8"))["groups"]
    return [
        pytest.param({**group, **case}, id=f"{group.get('kind', 'length')}: {case['text'] or 'empty'}"[:60])
        for group in groups
        for case in group["cases"]
    ]


LENGTHS, QUANTITIES, WRITTEN = cases("lengths.json"), cases("quantities.json"), cases("format.json")


def read(case: dict[str, Any], parse: Any, *told: str) -> dict[str, Any]:
    """What a parser makes of a case, in the words of the table."""
    try:
        return {("metres" if "metres" in case else "value"): parse(case["text"], *told)}
    except UnitError as error:
        return {"error": error.code, "sentence": str(error)}


def wanted(case: dict[str, Any]) -> dict[str, Any]:
    return {name: case[name] for name in ("metres", "value", "error", "sentence") if name in case}


@pytest.mark.parametrize("case", LENGTHS)
def test_a_length_is_read_as_the_table_says(case):
    assert read(case, parse_length, case.get("default_unit", "in")) == wanted(case)


@pytest.mark.parametrize("case", QUANTITIES)
def test_a_quantity_is_read_as_the_table_says(case):
    assert read(case, parse_quantity, case["kind"], case.get("default_unit", "")) == wanted(case)


@pytest.mark.parametrize("case", WRITTEN)
def test_a_figure_is_written_as_the_table_says(case):
    how = {"rounding": case["rounding"]}
    if case["kind"] == "length":
        written = format_length(case["value"], case["system"], feet_from=case.get("feet_from"), **how)
    else:
        written = format_quantity(case["value"], case["kind"], case["system"], **how)
    assert written == case["text"]


def test_the_tables_hold_every_kind_the_checklists_measure():
    read_kinds = {param.values[0]["kind"] for param in QUANTITIES}
    written_kinds = {param.values[0]["kind"] for param in WRITTEN}
    assert set(KNOWN_LIMITS.values()) <= read_kinds & written_kinds


def test_the_tables_hold_every_unit_and_every_refusal():
    texts = " ".join(param.values[0]["text"].lower() for param in LENGTHS)
    assert all(word in texts for word in UNIT_WORDS)
    assert {param.values[0].get("default_unit", "in") for param in LENGTHS} >= set(METRES)
    codes = {param.values[0].get("error") for param in (*LENGTHS, *QUANTITIES)}
    assert codes >= {
        "default_unit", "too_much_text", "empty", "not_understood", "too_long", "comma", "ambiguous_comma",
        "unknown_unit", "two_lengths", "broken_feet", "inches_over_twelve", "zero_denominator",
        "improper_fraction", "kind", "no_unit", "too_low",
    }  # fmt: skip


@pytest.mark.parametrize("kind", sorted(set(KNOWN_LIMITS.values()) & set(KINDS)))
def test_the_tables_hold_every_spelling_of_a_unit_a_checklist_uses(kind):
    accepted = [param.values[0] for param in QUANTITIES if "value" in param.values[0]]
    spelled = {_unit(case["text"]) for case in accepted if case["kind"] == kind}
    assert set(KINDS[kind].written) <= spelled


def _unit(text: str) -> str:
    plain = (
        text.lstrip("0123456789.,+-− ")
        .lower()
        .replace("per", "/")
        .replace("₂", "2")
        .replace("″", '"')
        .replace("”", '"')
    )
    return "".join(sign for sign in plain if not sign.isspace() and sign not in "._°º·*")


def test_the_tablets_table_of_units_is_what_calcs_knows():
    kept = (ROOT / "static" / "tablet" / "unit_table.js").read_text(encoding="utf-8").splitlines()
    assert kept == list(units_javascript()), (
        "run: .venv/bin/python -m calcs units --javascript > static/tablet/unit_table.js"
    )
