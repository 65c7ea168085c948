"""Floor protection."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Outcome, SourceKind
from calcs.hearth import (
    AIR,
    IMPERIAL_R,
    MATERIALS,
    Layer,
    floor_protector,
    hearth_limits,
    layer_resistance,
    thermal_resistance,
)
from calcs.rulebook import load_rulebook

INCH = 0.0254
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))
SOLID = sorted(set(MATERIALS) - {AIR})
layers = st.lists(st.tuples(st.sampled_from(SOLID), st.floats(0.001, 0.3)), min_size=1, max_size=5)


@given(layers, layers)
def test_layers_in_series_add(upper, lower):
    together = thermal_resistance([*upper, *lower])
    assert together == pytest.approx(thermal_resistance(upper) + thermal_resistance(lower))


@given(layers)
def test_the_order_of_solid_layers_does_not_matter(stack):
    assert thermal_resistance(stack) == pytest.approx(thermal_resistance(stack[::-1]))


@given(st.sampled_from(SOLID), st.floats(0.001, 0.1), st.floats(0.001, 0.1))
def test_a_thicker_layer_resists_more(material, one, other):
    thin, thick = sorted((one, other))
    assert layer_resistance(Layer(material, thin)) <= layer_resistance(Layer(material, thick))


@given(st.floats(0.005, 0.1), st.floats(0.02, 5))
def test_conductivity_conductance_and_resistance_tell_the_same(thickness, conductivity):
    by_k = layer_resistance(Layer("board", thickness, conductivity=conductivity))
    by_c = layer_resistance(Layer("board", conductance=conductivity / thickness))
    assert by_k == pytest.approx(by_c) == pytest.approx(layer_resistance(Layer("board", resistance=by_k)))


@pytest.mark.parametrize(
    "layer",
    [
        Layer("concrete", 1 * INCH, resistance=0.95 * IMPERIAL_R),
        Layer("concrete", 4 * INCH, resistance=3.8 * IMPERIAL_R),
        Layer("ceramic tile", 0.25 * INCH, resistance=0.008 * IMPERIAL_R),
        Layer("ceramic tile", resistance=0.008 * IMPERIAL_R),
    ],
)
def test_figures_in_circulation_that_are_wrong_are_refused(layer):
    with pytest.raises(ValueError, match="check the decimal point"):
        layer_resistance(layer)


def test_a_maker_s_figure_near_the_published_one_is_taken():
    board = Layer("mineral-fibre board", 0.5 * INCH, resistance=1.27 * IMPERIAL_R)
    assert layer_resistance(board) == pytest.approx(1.27 * IMPERIAL_R)


def test_two_layers_of_air_need_a_solid_one_between_them():
    air, board = (AIR, INCH / 8), ("cement board, light", INCH / 2)
    with pytest.raises(ValueError, match="solid layer between"):
        thermal_resistance([board, air, air])
    assert thermal_resistance([air, board, air]) == pytest.approx((2 * 0.92 + 0.39) * IMPERIAL_R)


def test_air_does_not_resist_more_when_it_is_deeper():
    with pytest.raises(ValueError, match="1/8 in only"):
        thermal_resistance([(AIR, INCH)])


@pytest.mark.parametrize(
    ("stack", "named"),
    [
        ([], "layers"),
        ([("mud", 0.1)], "mud"),
        ([Layer("brick")], "thickness of brick"),
        ([Layer("brick", -0.1)], "thickness of brick"),
        ([Layer("brick", math.nan)], "thickness of brick"),
        ([Layer("board", 0.1, conductivity=0.0)], "conductivity of board"),
        ([Layer("board", conductivity=0.2)], "thickness of board"),
        ([Layer("board", 0.1, conductivity=0.2, resistance=0.5)], "one figure for board"),
    ],
)
def test_it_names_the_layer_it_refuses(stack, named):
    with pytest.raises(ValueError, match=named):
        thermal_resistance(stack)


def test_the_stricter_of_listing_and_rule_book_is_the_limit():
    limits = hearth_limits(US, listing={"front": 18 * INCH, "side": 6 * INCH})
    assert limits["hearth.front"].minimum == pytest.approx(18 * INCH)
    assert limits["hearth.front"].source.kind is SourceKind.LISTING
    assert limits["hearth.side"].minimum == pytest.approx(8 * INCH)
    assert limits["hearth.side"].source.kind is not SourceKind.LISTING


def test_what_no_source_gives_is_absent():
    assert set(hearth_limits(US)) == {"hearth.front", "hearth.side"}
    assert "hearth.resistance" in hearth_limits(US, listing={"resistance": 0.1})


def test_an_unlisted_appliance_and_an_open_fire_ask_for_more():
    assert hearth_limits(US, listed=False)["hearth.side"].minimum == pytest.approx(18 * INCH)
    assert hearth_limits(UK, kind="open fire")["hearth.front"].minimum == pytest.approx(0.3)
    assert hearth_limits(UK)["hearth.front"].minimum == pytest.approx(0.225)


@pytest.mark.parametrize(("cool", "thickness"), [(True, 0.012), (False, 0.125), (None, 0.125)])
def test_a_thin_hearth_needs_to_be_known_to_stay_cool(cool, thickness):
    assert hearth_limits(UK, board_stays_cool=cool)["hearth.thickness"].minimum == pytest.approx(thickness)


def test_what_was_not_measured_is_unknown_and_equal_passes():
    found = floor_protector(
        rulebook=CA,
        extents={"front": 0.45, "side": 0.1999},
        listing={"resistance": 0.1},
    )
    assert found.resistance is None
    assert {check.name: check.outcome for check in found.checks} == {
        "hearth.front": Outcome.PASS,
        "hearth.side": Outcome.FAIL,
        "hearth.rear": Outcome.UNKNOWN,
        "hearth.resistance": Outcome.UNKNOWN,
    }


@pytest.mark.parametrize(
    ("given_", "named"),
    [
        ({"extents": {"front": -1.0}}, "hearth.front"),
        ({"extents": {"left": 1.0}}, "extents does not know hearth.left"),
        ({"listing": {"back": 1.0}}, "listing does not know back"),
        ({"listing": {"front": -1.0}}, "listing hearth.front"),
    ],
)
def test_it_names_the_extent_it_refuses(given_, named):
    with pytest.raises(ValueError, match=named):
        floor_protector(rulebook=US, **given_)
