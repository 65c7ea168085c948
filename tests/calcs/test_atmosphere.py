"""Pressure of the standard atmosphere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.atmosphere import HIGHEST_ALTITUDE, LOWEST_ALTITUDE, SEA_LEVEL_PRESSURE, pressure_at_altitude

altitudes = st.floats(LOWEST_ALTITUDE, HIGHEST_ALTITUDE)


def test_it_is_the_standard_pressure_at_sea_level():
    assert pressure_at_altitude(0) == SEA_LEVEL_PRESSURE


@given(altitudes, altitudes)
def test_it_never_rises_on_the_way_up(one, other):
    low, high = sorted((one, other))
    assert pressure_at_altitude(high) <= pressure_at_altitude(low)


@pytest.mark.parametrize("metres", [-2000.1, 11000.1, float("nan")])
def test_it_refuses_an_altitude_outside_its_range_by_name(metres):
    with pytest.raises(ValueError, match=r"^metres: an altitude"):
        pressure_at_altitude(metres)
