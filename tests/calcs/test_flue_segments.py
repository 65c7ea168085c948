"""Flues of several segments: they add up, and one pipe cut in pieces is still that pipe."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.draft import solve_flue, solve_segments
from calcs.flue_parts import FlueSegment
from tests.calcs.flues import FLUE, any_flue

SHARED = (
    "mass_flow",
    "flue_gas_temperature",
    "gas_constant",
    "heat_capacity",
    "altitude",
    "outside_temperature",
)
ROOM = FlueSegment("room", 1.0, 1.0, 0.15, 0.2, 0.4, 0.001, 0.0, 20.0)
OUTSIDE = FlueSegment("outside", 3.0, 3.0, 0.15, 0.2, 0.4, 0.001, 1.5, -10.0, 23.0)


def flow(flue, **changed):
    wanted = (*SHARED, *(name for name in ("flow_safety", "correction") if name in flue))
    return {**{name: flue[name] for name in wanted}, **changed}


def cut(flue, pieces):
    """The uniform flue as equal segments, the single resistances spread over them."""
    segment = FlueSegment(
        "piece",
        flue["length"] / pieces,
        flue["height"] / pieces,
        flue["inner_diameter"],
        flue["outer_diameter"],
        flue["thermal_resistance"],
        flue["roughness"],
        flue["zeta"] / pieces,
        flue["surrounding_temperature"],
        flue["external_coefficient"],
    )
    return [segment] * pieces


@given(any_flue)
def test_a_single_segment_is_the_uniform_flue(flue):
    flue = {**flue, "height": flue["length"]}
    whole = solve_segments(cut(flue, 1), **flow(flue))
    assert whole.solutions[0] == solve_flue(**flue)
    assert whole.available_draft == whole.solutions[0].available_draft


# The cut flue follows viscosity, conductivity and density along the pipe, the uncut one takes them at its
# mean temperature. In an insulated flue temperatures move by under 4 % of the gas's excess over the air
# around it, the draft by under 10 % of what uncooled gas would draw, the resistance by under 10 %.
@given(any_flue, st.floats(0.004, 0.05), st.floats(1, 12), st.sampled_from((0.5, 1.0)), st.integers(2, 12))
def test_an_insulated_pipe_cut_in_equal_pieces_is_the_same_pipe(flue, mass_flow, length, correction, pieces):
    around = flue["outside_temperature"]
    flue = {**flue, "mass_flow": mass_flow, "surrounding_temperature": around, "inner_diameter": 0.15}
    flue |= {"length": length, "height": length, "correction": correction}
    flue["thermal_resistance"] += 0.2
    one, many = solve_flue(**flue), solve_segments(cut(flue, pieces), **flow(flue))
    over = flue["flue_gas_temperature"] - around
    entering = one.outside_pressure / (flue["gas_constant"] * (flue["flue_gas_temperature"] + 273.15))
    uncooled = length * 9.81 * (one.air_density - entering)
    assert many.mean_temperature == pytest.approx(one.mean_temperature, abs=0.04 * over)
    assert many.outlet_temperature == pytest.approx(one.outlet_temperature, abs=0.04 * over)
    assert many.theoretical_draft == pytest.approx(one.theoretical_draft, abs=0.1 * uncooled)
    assert many.flow_resistance == pytest.approx(one.flow_resistance, rel=0.1)


def test_a_usual_flue_in_four_pieces_keeps_its_draft_within_a_tenth_of_a_pascal():
    one, many = solve_flue(**FLUE), solve_segments(cut(FLUE, 4), **flow(FLUE))
    assert many.available_draft == pytest.approx(one.available_draft, abs=0.1)
    assert many.outlet_temperature == pytest.approx(one.outlet_temperature, abs=1.0)


def test_the_whole_is_the_sum_of_its_segments():
    whole = solve_segments([ROOM, OUTSIDE], **flow(FLUE, wind_pressure=4.0))
    assert whole.theoretical_draft == pytest.approx(sum(one.theoretical_draft for one in whole.solutions))
    assert whole.flow_resistance == pytest.approx(sum(one.flow_resistance for one in whole.solutions))
    assert whole.available_draft == pytest.approx(whole.theoretical_draft - whole.flow_resistance - 4.0)
    assert whole.outlet_temperature == whole.solutions[-1].outlet_temperature
    assert whole.wall_temperature_outlet == whole.solutions[-1].wall_temperature_outlet


def test_each_segment_begins_where_the_one_before_ends():
    whole = solve_segments([ROOM, OUTSIDE], **flow(FLUE))
    first, second = whole.solutions
    alone = solve_segments(
        [replace(OUTSIDE, part="alone")], **flow(FLUE, flue_gas_temperature=first.outlet_temperature)
    )
    # Only the entry term of the heat transfer differs: it counts the length of the part.
    assert second.outlet_temperature == pytest.approx(alone.outlet_temperature, rel=0.01)
    assert second.outlet_temperature < first.outlet_temperature < FLUE["flue_gas_temperature"]


def test_colder_surroundings_of_one_segment_cool_only_what_follows():
    warm = solve_segments([ROOM, OUTSIDE], **flow(FLUE))
    cold = solve_segments([ROOM, replace(OUTSIDE, surrounding_temperature=-30.0)], **flow(FLUE))
    assert cold.solutions[0] == warm.solutions[0]
    assert cold.outlet_temperature < warm.outlet_temperature


def test_the_heat_capacity_may_follow_the_temperature():
    fixed = solve_segments([ROOM, OUTSIDE], **flow(FLUE, heat_capacity=1100.0))
    same = solve_segments([ROOM, OUTSIDE], **flow(FLUE, heat_capacity=lambda _: 1100.0))
    rising = solve_segments([ROOM, OUTSIDE], **flow(FLUE, heat_capacity=lambda celsius: 1000.0 + celsius))
    assert same == fixed
    assert rising.solutions[0].heat_capacity == pytest.approx(
        1000.0 + rising.solutions[0].mean_temperature, abs=1e-6
    )


def test_a_flue_needs_a_segment():
    with pytest.raises(ValueError, match=r"^segments:"):
        solve_segments([], **flow(FLUE))


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"length": 0.0}, "length"),
        ({"height": 4.0}, "height"),
        ({"outer_diameter": 0.1}, "outer_diameter"),
        ({"roughness": 0.02}, "roughness"),
        ({"thermal_resistance": -1.0}, "thermal_resistance"),
    ],
)
def test_it_names_the_segment_and_the_figure_that_cannot_be(changed, name):
    with pytest.raises(ValueError, match=rf"^segments\[1\]\.{name}:"):
        solve_segments([ROOM, replace(OUTSIDE, **changed)], **flow(FLUE))
