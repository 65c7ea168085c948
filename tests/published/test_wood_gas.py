"""Flue gas of wood against what textbooks and practice say of it."""

import pytest

from calcs.fluegas import co2_at_oxygen, dry_to_wet_basis, greatest_co2, wood_flue_gas


# Textbook formula for the air to burn a kilogram, from memory: 11.5 C + 34.5 (H - O/8) in kg/kg.
def test_dry_wood_needs_six_times_its_mass_of_air():
    gas = wood_flue_gas(0.0, greatest_co2())
    assert gas.air_mass == pytest.approx(11.5 * 0.50 + 34.5 * (0.06 - 0.44 / 8), rel=0.01)
    assert gas.air_ratio == pytest.approx(1.0)


# Chimney sweeps' tables, common practice: the most carbon dioxide in the gas of wood is 20.3 to 20.5 %.
def test_the_most_carbon_dioxide_of_wood_is_the_trades():
    assert 20.2 < greatest_co2() < 20.6


# Instruments' formula, common practice: CO2 = CO2max (21 - O2)/21.
@pytest.mark.parametrize("co2", [4, 7.7, 10, 14, 18])
def test_oxygen_and_carbon_dioxide_go_together_as_instruments_reckon(co2):
    oxygen = wood_flue_gas(0.2, co2).oxygen_dry_percent
    assert co2 == pytest.approx(20.4 * (21 - oxygen) / 21, abs=0.2)
    assert co2_at_oxygen(oxygen) == pytest.approx(co2, abs=0.15)


# Instruments' air ratio, common practice: CO2max/CO2, a little high for wood.
@pytest.mark.parametrize("co2", [5, 10, 15])
def test_the_air_ratio_is_that_of_instruments(co2):
    assert wood_flue_gas(0.15, co2).air_ratio == pytest.approx(greatest_co2() / co2, rel=0.01)


# Firewood tables, common practice: 4.0 to 4.2 kWh/kg at 15 to 20 % water, 2.2 to 2.4 at 50 %.
@pytest.mark.parametrize(("moisture", "low", "high"), [(0.20, 3.9, 4.1), (0.15, 4.1, 4.4), (0.50, 2.1, 2.4)])
def test_the_heat_of_firewood_is_that_of_the_tables(moisture, low, high):
    assert low < wood_flue_gas(moisture, 10).net_calorific_value / 3.6e6 < high


# Firewood practice, second-hand: gas of dry wood at 10 % CO2 has its dew point between 40 and 50 degrees C.
def test_the_dew_point_of_wood_gas_lies_between_forty_and_fifty_degrees():
    assert 40 < wood_flue_gas(0.2, 10).dew_point(97000) < 50


# Moisture meters, common practice: 25 % on the dry basis is 20 % on the wet, 100 % is 50 %.
@pytest.mark.parametrize(("dry", "wet"), [(0.0, 0.0), (0.25, 0.2), (1.0, 0.5)])
def test_the_meters_dry_basis_becomes_the_rules_wet_basis(dry, wet):
    assert dry_to_wet_basis(dry) == pytest.approx(wet)
