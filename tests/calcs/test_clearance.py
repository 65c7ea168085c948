"""Clearances and what a protection takes off them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Source, SourceKind
from calcs.clearance import POSITIONS, protections, reduced_clearance, unlisted_clearance
from calcs.rulebook import load_rulebook, read_rulebook

INCH = 0.0254
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))
clearances = st.floats(0.01, 3)
BOOKS_AND_KEYS = [(book, one.key) for book in (US, CA) for one in protections(book)]


@pytest.mark.parametrize(("book", "key"), BOOKS_AND_KEYS, ids=lambda one: getattr(one, "code", one))
@given(clearances, st.sampled_from(sorted(POSITIONS)), st.booleans())
def test_a_protection_never_asks_for_more_and_says_whether_it_helped(book, key, unprotected, position, solid):
    found = reduced_clearance(unprotected, key, position, book, solid_fuel=solid)
    assert 0 < found.required <= unprotected
    assert found.reduced == (found.required < unprotected)
    assert found.steps[0].startswith("Unprotected clearance")


@pytest.mark.parametrize(("book", "key"), BOOKS_AND_KEYS, ids=lambda one: getattr(one, "code", one))
@given(clearances, clearances, st.sampled_from(["wall", "ceiling"]))
def test_a_larger_unprotected_clearance_never_gives_a_smaller_one(book, key, one, other, position):
    low, high = sorted((one, other))
    assert (
        reduced_clearance(low, key, position, book).required
        <= reduced_clearance(high, key, position, book).required + 1e-9
    )


@pytest.mark.parametrize("key", [one.key for one in protections(US)])
@given(clearances, st.sampled_from(["wall", "ceiling"]))
def test_solid_fuel_never_stands_nearer_than_the_floor_unless_it_may_unprotected(key, unprotected, position):
    floor = US.value(f"clearance.floor.{position}")
    assert reduced_clearance(unprotected, key, position, US).required >= min(unprotected, floor) - 1e-9


def test_a_listed_appliance_gets_a_reduction_only_where_its_instructions_allow_it():
    yes = reduced_clearance(0.9, "metal_ventilated", "rear", US, listed=True, reduction_allowed=True)
    no = reduced_clearance(0.9, "metal_ventilated", "rear", US, listed=True, reduction_allowed=False)
    unknown = reduced_clearance(0.9, "metal_ventilated", "rear", US, listed=True)
    assert yes.reduced
    assert not no.reduced
    assert "do not allow" in no.steps[-1]
    assert not unknown.reduced
    assert "not known to allow" in unknown.steps[-1]
    assert unknown.source.kind is SourceKind.LISTING


def test_the_stricter_of_two_tables_rules():
    # IRC grid alone: 18 in unprotected, sheet metal ventilated: 6 in. NFPA 211: never under 12 in.
    found = reduced_clearance(18 * INCH, "metal_ventilated", "wall", US)
    assert found.required == pytest.approx(12 * INCH)
    assert found.source.reference.startswith("NFPA 211")
    gas = reduced_clearance(18 * INCH, "metal_ventilated", "wall", US, solid_fuel=False)
    assert gas.required == pytest.approx(6 * INCH)
    assert gas.source.reference.startswith("IRC")


def test_between_two_columns_the_next_larger_one_rules():
    found = reduced_clearance(10 * INCH, "board_over_batts", "wall", US, solid_fuel=False)
    assert found.required == pytest.approx(6 * INCH)
    assert any("nothing is interpolated" in step for step in found.steps)


def test_beyond_the_largest_column_only_the_percentage_is_left():
    found = reduced_clearance(48 * INCH, "metal_ventilated", "wall", US)
    assert found.required == pytest.approx(16 * INCH)
    assert not reduced_clearance(48 * INCH, "metal_ventilated", "wall", US, solid_fuel=False).reduced


def test_masonry_protects_no_ceiling():
    found = reduced_clearance(36 * INCH, "masonry", "above", US)
    assert found.required == 36 * INCH
    assert "No reduction is permitted there" in found.steps[-1]


def test_a_bare_wall_keeps_the_clearance_and_its_source():
    source = Source(SourceKind.LISTING, "sheet 7")
    found = reduced_clearance(0.5, "", "side", US, source=source)
    assert (found.required, found.source, found.reduced) == (0.5, source, False)


def test_a_book_without_a_table_takes_nothing_off_and_says_so():
    assert protections(UK) == ()
    found = reduced_clearance(0.5, "metal_ventilated", "side", UK)
    assert found.required == 0.5
    assert "holds no table" in found.steps[-1]


def test_protections_say_where_they_may_be_used():
    by_key = {one.key: one.positions for one in protections(US)}
    assert by_key["masonry"] == ("wall",)
    assert by_key["metal_ventilated"] == ("wall", "ceiling")


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ((0, "metal_ventilated", "wall", US), "unprotected"),
        ((math.nan, "metal_ventilated", "wall", US), "unprotected"),
        ((0.9, "curtain", "wall", US), "protection must be one of masonry"),
        ((0.9, "metal_ventilated", "floor", US), "position"),
    ],
)
def test_it_names_the_input_it_refuses(arguments, named):
    with pytest.raises(ValueError, match=named):
        reduced_clearance(*arguments)


def test_an_unlisted_appliance_takes_the_rule_book_s_clearance_or_none():
    assert unlisted_clearance("open fire", "front", US).minimum == pytest.approx(54 * INCH)
    assert unlisted_clearance("jacketed", "side", CA).minimum == pytest.approx(0.9)
    assert unlisted_clearance("radiant", "rear", UK) is None
    assert unlisted_clearance("open fire", "rear", CA) is None


@pytest.mark.parametrize(
    ("kind", "position", "named"), [("gas", "rear", "kind"), ("radiant", "below", "position")]
)
def test_it_names_the_kind_or_position_it_does_not_know(kind, position, named):
    with pytest.raises(ValueError, match=named):
        unlisted_clearance(kind, position, US)


def test_a_row_s_own_least_may_leave_nothing_to_take_off():
    # IRC grid: 12 in. NFPA 211 for masonry without air space: never under 24 in, so 18 in stay.
    found = reduced_clearance(18 * INCH, "masonry", "wall", US)
    assert found.required == 18 * INCH
    assert "takes nothing off" in found.steps[-1]


def test_listed_at_the_bound_or_less_is_told_so_before_any_table_is_opened():
    for metres in (0.1524, 0.3048):
        found = reduced_clearance(metres, "metal_ventilated", "wall", US, listed=True, reduction_allowed=True)
        assert found.required == metres
        assert found.steps[-1].startswith("Listed at 12 in")


def test_what_one_table_forbids_the_other_cannot_allow():
    text = b"""
code = "xx"
title = "Nowhere"
edition = "1"
[sources]
law = {kind = "code", reference = "The Law"}
[table.clearance.grid]
source = "law"
provenance = "read"
columns = [36]
columns_unit = "in"
fields = {above = "in", sides = "in"}
rows = [{key = "board", name = "board", sides = ["-"], above = [24]}]
[table.clearance.reduction]
source = "law"
provenance = "read"
fields = {wall = "%", ceiling = "%"}
rows = [{key = "board", name = "board", wall = 50, ceiling = 50}]
"""
    book = read_rulebook(text, "xx.toml")
    assert not reduced_clearance(36 * INCH, "board", "wall", book).reduced
    assert reduced_clearance(36 * INCH, "board", "ceiling", book).required == pytest.approx(24 * INCH)


def test_the_last_step_says_which_table_ruled():
    # IRC grid: 6 in. NFPA 211: never under 12 in.
    found = reduced_clearance(18 * INCH, "metal_ventilated", "wall", US)
    assert found.steps[-2] == (
        "Both are followed, the stricter rules: NFPA 211 table of clearance reduction rules."
    )
    assert found.reckoning[-1].source == found.source


@pytest.mark.parametrize(("book", "key"), BOOKS_AND_KEYS, ids=lambda one: getattr(one, "code", one))
@given(clearances, st.sampled_from(["wall", "ceiling"]))
def test_the_reckoning_ends_at_what_is_required(book, key, unprotected, position):
    found = reduced_clearance(unprotected, key, position, book)
    results = [step.result for step in found.reckoning if step.result is not None]
    assert results[-1] == found.required
    assert len(found.reckoning) == len(found.steps)
