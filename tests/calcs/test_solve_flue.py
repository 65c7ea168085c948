"""A uniform flue: what moves which way, what is refused, and that every value belongs to the others."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.draft import solve_flue
from calcs.flue_ranges import RANGES
from tests.calcs.flues import FLUE, any_flue

more = st.floats(1.01, 3)
#: Pressures of a flue are some pascals; rounding stays far below.
NOISE = 1e-6


def solved(**changed):
    return solve_flue(**{**FLUE, **changed})


@given(any_flue, more)
def test_a_higher_outlet_pulls_the_same_way_and_more(flue, factor):
    low, high = solve_flue(**flue), solve_flue(**{**flue, "height": flue["height"] * factor})
    assert high.theoretical_draft == pytest.approx(low.theoretical_draft * factor)
    assert high.flow_resistance == low.flow_resistance


@given(any_flue, st.floats(0.5, 20))
def test_a_warmer_day_draws_less(flue, degrees):
    warmer = {**flue, "outside_temperature": flue["outside_temperature"] + degrees}
    assert solve_flue(**warmer).theoretical_draft < solve_flue(**flue).theoretical_draft


@given(any_flue, more)
def test_a_longer_flue_cools_more_and_resists_more(flue, factor):
    short, long = solve_flue(**flue), solve_flue(**{**flue, "length": flue["length"] * factor})
    assert long.cooling > short.cooling
    assert long.outlet_temperature < short.outlet_temperature
    # Cooler gas is denser and slower, so a long flue may resist less a metre, but not on the whole.
    assert long.flow_resistance > 0.8 * short.flow_resistance


@given(any_flue, st.floats(0.1, 10))
def test_a_bend_more_leaves_less(flue, zeta):
    bent = solve_flue(**{**flue, "zeta": flue["zeta"] + zeta})
    assert bent.available_draft < solve_flue(**flue).available_draft


@given(any_flue, st.floats(0.05, 1))
def test_better_insulation_keeps_gas_and_wall_warmer(flue, resistance):
    bare, insulated = (
        solve_flue(**{**flue, "thermal_resistance": value})
        for value in (flue["thermal_resistance"], flue["thermal_resistance"] + resistance)
    )
    assert insulated.transmittance < bare.transmittance
    assert insulated.outlet_temperature > bare.outlet_temperature
    assert insulated.wall_temperature_outlet > bare.wall_temperature_outlet
    assert insulated.theoretical_draft > bare.theoretical_draft


@given(any_flue, st.floats(10, 200))
def test_hotter_gas_draws_more(flue, degrees):
    hotter = {**flue, "flue_gas_temperature": flue["flue_gas_temperature"] + degrees}
    assert solve_flue(**hotter).theoretical_draft > solve_flue(**flue).theoretical_draft


@given(any_flue, st.floats(100, 3000))
def test_thin_air_draws_less(flue, metres):
    higher = {**flue, "altitude": flue["altitude"] + metres}
    low, high = solve_flue(**flue).theoretical_draft, solve_flue(**higher).theoretical_draft
    assert high < low if low > 0 else high >= low


@given(any_flue)
def test_a_rough_flue_resists_no_less_than_a_smooth_one(flue):
    rough, smooth = solve_flue(**flue), solve_flue(**{**flue, "roughness": 0.0})
    assert smooth.friction == smooth.friction_smooth
    assert rough.friction >= rough.friction_smooth - NOISE


@given(any_flue)
def test_the_values_belong_to_each_other(flue):
    found = solve_flue(**flue)
    ends = sorted((flue["flue_gas_temperature"], found.outlet_temperature))
    assert ends[0] - NOISE <= found.mean_temperature <= ends[1] + NOISE
    area = math.pi / 4 * flue["inner_diameter"] ** 2
    assert found.velocity * area * found.gas_density == pytest.approx(flue["mass_flow"])
    lost = (
        flue["heat_capacity"] * flue["mass_flow"] * (flue["flue_gas_temperature"] - found.outlet_temperature)
    )
    through = (
        found.transmittance
        * math.pi
        * flue["inner_diameter"]
        * flue["length"]
        * (found.mean_temperature - flue["surrounding_temperature"])
    )
    assert lost == pytest.approx(through, rel=1e-6)
    assert found.available_draft == pytest.approx(found.theoretical_draft - found.flow_resistance)
    wall = sorted((flue["surrounding_temperature"], found.outlet_temperature))
    assert wall[0] <= found.wall_temperature_outlet <= wall[1]


@given(any_flue)
def test_a_flue_of_pipe_alone_stands_in_its_own_surroundings(flue):
    bare = {**flue, "thermal_resistance": 0.0, "outer_diameter": flue["inner_diameter"], "correction": 1.0}
    found = solve_flue(**bare)
    expected = 1 / (1 / found.inner_coefficient + 1 / flue["external_coefficient"])
    assert found.transmittance == pytest.approx(expected)


def test_gas_as_cold_as_the_air_around_keeps_its_temperature():
    found = solved(flue_gas_temperature=20.0, surrounding_temperature=20.0)
    assert found.mean_temperature == found.outlet_temperature == found.wall_temperature_outlet == 20.0


def test_a_flue_lying_level_does_not_draw():
    found = solved(height=0.0)
    assert found.theoretical_draft == 0
    assert found.available_draft == -found.flow_resistance


def test_a_slow_flow_is_told_as_it_is_and_reckoned_at_the_least_turbulent_one():
    slow, slower = solved(mass_flow=0.002), solved(mass_flow=0.0015)
    assert slower.reynolds < slow.reynolds < 2300
    assert slow.friction == slower.friction


def test_the_safety_of_the_flow_multiplies_the_resistance():
    assert solved(flow_safety=3.0).flow_resistance == pytest.approx(2 * solved().flow_resistance)


def test_a_flue_warming_up_loses_more_than_one_in_equilibrium():
    assert solved(correction=0.5).transmittance > solved(correction=1.0).transmittance


def test_the_usual_safety_and_correction_need_not_be_given():
    assert solved() == solved(flow_safety=1.5, correction=0.5)


@pytest.mark.parametrize("name", FLUE)
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, None, "", -1e7, 1e7])
def test_it_names_the_input_that_cannot_be(name, value):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        solved(**{name: value})


@pytest.mark.parametrize("name", ["flow_safety", "correction"])
def test_it_names_the_coefficient_that_cannot_be(name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        solved(**{name: 100.0})


def test_a_flue_narrower_outside_than_inside_is_refused():
    with pytest.raises(ValueError, match=r"^outer_diameter: 0.1 m is smaller"):
        solved(outer_diameter=0.1)


def test_a_roughness_beyond_the_relation_is_refused_and_the_last_one_within_taken():
    assert solved(inner_diameter=0.1, roughness=0.005).friction > 0.05
    with pytest.raises(ValueError, match=r"^roughness:"):
        solved(inner_diameter=0.1, roughness=0.0051)


#: The whole of every range, at once.
anything = st.fixed_dictionaries(
    {
        name: st.floats(allowed.least, allowed.greatest)
        for name, allowed in RANGES.items()
        if name != "wind_pressure"
    }
)


@given(anything)
def test_whatever_is_within_its_range_is_solved_or_refused_by_name(flue):
    try:
        found = vars(solve_flue(**flue)).values()
    except ValueError as error:
        found, refused = [], str(error).split(":")[0]
    else:
        refused = ""
    assert refused in {*flue, ""}
    assert all(math.isfinite(value) for value in found)


def test_the_docstring_gives_every_range_as_it_is_kept():
    words = " ".join((solve_flue.__doc__ or "").split())
    for name, allowed in RANGES.items():
        if name == "wind_pressure":
            continue
        entry = words.split(f"{name} : float ")[1].split(" : float ")[0]
        low = f"{allowed.least:.5f}".rstrip("0").rstrip(".")
        assert f"from {low} to {allowed.greatest:g}" in entry, name
