"""Permanent air vents."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.air_supply import open_fire_vent_area, permanent_vent_area, vent_rates
from calcs.rulebook import load_rulebook, read_rulebook

UK, US = load_rulebook("uk"), load_rulebook("us")
outputs = st.floats(0.1, 50)
leaks = st.floats(0, 20)


@given(outputs, outputs, leaks, st.booleans())
def test_a_larger_appliance_never_asks_for_a_smaller_vent(one, other, leakage, stabiliser):
    low, high = sorted((one, other))
    assert (
        permanent_vent_area(low, UK, leakage, stabiliser)
        <= permanent_vent_area(high, UK, leakage, stabiliser) + 1e-12
    )


@given(outputs, leaks, leaks, st.booleans())
def test_a_leakier_house_never_asks_for_a_larger_vent(output, one, other, stabiliser):
    low, high = sorted((one, other))
    assert (
        permanent_vent_area(output, UK, high, stabiliser)
        <= permanent_vent_area(output, UK, low, stabiliser) + 1e-12
    )


@given(outputs, leaks)
def test_a_draught_stabiliser_never_asks_for_a_smaller_vent(output, leakage):
    assert (
        permanent_vent_area(output, UK, leakage)
        <= permanent_vent_area(output, UK, leakage, draught_stabiliser=True) + 1e-12
    )


@given(outputs, leaks, st.booleans())
def test_the_parts_make_up_the_whole(output, leakage, stabiliser):
    parts = vent_rates(output, UK, leakage, stabiliser)
    assert sum(part.area for part in parts) == permanent_vent_area(output, UK, leakage, stabiliser)
    assert all(part.output > 0 and part.source.reference.startswith("Approved") for part in parts)


def test_a_house_just_at_the_bound_counts_as_tight():
    assert permanent_vent_area(5, UK, 5.0) == pytest.approx(2750e-6)
    assert permanent_vent_area(5, UK, 5.01) == 0


def test_without_a_rule_or_without_the_leakage_nothing_is_guessed():
    assert permanent_vent_area(7, US, 3.0) is None
    assert vent_rates(7, US, 3.0) is None
    assert permanent_vent_area(7, UK, None) is None
    assert open_fire_vent_area(0.03, US) is None


def test_a_book_that_lacks_one_of_the_rates_gives_none():
    text = b"""
code = "xx"
title = "Nowhere"
edition = "1"
[sources]
law = {kind = "code", reference = "The Law", edition = "1"}
[air_supply]
permeability = {value = 5, unit = "m3/(h.m2)", source = "law", provenance = "read"}
tight = {value = 550, unit = "mm2/kW", source = "law", provenance = "read"}
"""
    book = read_rulebook(text, "xx.toml")
    assert permanent_vent_area(7, book, 3.0) == pytest.approx(3850e-6)
    assert permanent_vent_area(7, book, 8.0) is None


@pytest.mark.parametrize("figure", [0, -1, math.nan, math.inf])
def test_it_names_the_output_it_refuses(figure):
    with pytest.raises(ValueError, match="output_kw"):
        permanent_vent_area(figure, UK, 5.0)


def test_it_names_what_else_it_refuses():
    with pytest.raises(ValueError, match="air_permeability"):
        permanent_vent_area(7, UK, -0.1)
    with pytest.raises(ValueError, match="opening_area"):
        open_fire_vent_area(0, UK)
    with pytest.raises(ValueError, match="opening must be one of throat, canopy"):
        open_fire_vent_area(0.03, UK, "door")
