"""Pressure at altitude against the standard atmosphere."""

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from calcs.atmosphere import pressure_at_altitude


# The `fluids` package's U.S. Standard Atmosphere 1976, identical with ISO 2533 below 32 km.
@pytest.mark.parametrize("metres", [-1500, -300, 0, 150, 500, 1000, 1609.344, 2500, 4000, 8848, 11000])
def test_it_agrees_with_the_reference_library(metres):
    assert pressure_at_altitude(metres) == pytest.approx(ATMOSPHERE_1976(metres).P, rel=1e-5)


# ISO 2533:1975, table 5, geometric altitude, from memory.
@pytest.mark.parametrize(("metres", "pascals"), [(0, 101325), (1000, 89876.3), (2000, 79501.4)])
def test_it_agrees_with_the_printed_table(metres, pascals):
    assert pressure_at_altitude(metres) == pytest.approx(pascals, rel=2e-5)
