"""Theoretical draft."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.draft import theoretical_draft

heights = st.floats(0, 100)
temperatures = st.floats(-40, 800)
pressures = st.floats(50_000, 110_000)


@given(heights, temperatures, pressures)
def test_there_is_no_draft_without_a_difference_in_temperature(height, temperature, pressure):
    assert theoretical_draft(height, temperature, temperature, pressure) == 0


@given(heights, heights, temperatures, temperatures, pressures)
def test_a_taller_flue_pulls_in_the_same_direction_and_no_less(one, other, flue, outside, pressure):
    low, high = sorted((one, other))
    assert abs(theoretical_draft(high, flue, outside, pressure)) >= abs(
        theoretical_draft(low, flue, outside, pressure)
    )


@given(st.floats(1, 100), temperatures, temperatures, temperatures, pressures)
def test_hotter_gas_pulls_no_less(height, one, other, outside, pressure):
    cool, hot = sorted((one, other))
    assert theoretical_draft(height, hot, outside, pressure) >= theoretical_draft(
        height, cool, outside, pressure
    )


@given(st.floats(1, 100), st.floats(100, 500), st.floats(-40, 40), pressures)
def test_it_falls_in_proportion_to_the_air_pressure(height, flue, outside, pressure):
    assert theoretical_draft(height, flue, outside, pressure / 2) == pytest.approx(
        theoretical_draft(height, flue, outside, pressure) / 2
    )


def test_gas_heavier_than_the_air_outside_pulls_downwards():
    assert theoretical_draft(5, 20, 30, 101325) < 0


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((-1, 200, 0, 101325), "height"),
        ((5, -300, 0, 101325), "flue_temperature"),
        ((5, 200, -273.15, 101325), "outside_temperature"),
        ((5, 200, 0, 0), "pressure"),
        ((5, 200, 0, 101325, -1), "gas_constant"),
    ],
)
def test_it_names_the_input_that_cannot_be(arguments, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        theoretical_draft(*arguments)
