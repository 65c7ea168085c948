"""Flue gas: shares add up, mass is kept, and everything moves the way it must."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.fluegas import co2_at_oxygen, dew_point, dry_to_wet_basis, flue_gas, greatest_co2, wood_flue_gas
from calcs.fuels import FUELS

moistures = st.floats(0, 0.6)
co2s = st.floats(2, 20)
fuels = st.sampled_from(list(FUELS.values()))


@given(fuels, moistures, st.floats(2, 17), st.floats(0, 0.02))
def test_mass_is_kept_and_shares_make_a_whole(fuel, moisture, co2, humidity):
    gas = flue_gas(fuel, moisture, co2, air_humidity=humidity)
    ash = 1 - fuel.carbon - fuel.hydrogen - fuel.oxygen - fuel.sulphur
    # Sulphur dioxide counts as carbon dioxide, which is lighter.
    assert gas.mass == pytest.approx(1 - ash * (1 - moisture) + gas.air_mass, rel=2e-3)
    shares = (gas.co2_share, gas.water_vapour_share, gas.oxygen_share, gas.nitrogen_share)
    assert math.fsum(shares) == pytest.approx(1)
    assert gas.wet_volume * (1 - gas.water_vapour_share) == pytest.approx(gas.dry_volume)
    assert gas.co2_share * gas.wet_volume / gas.dry_volume == pytest.approx(co2 / 100)


@given(moistures, co2s, co2s)
def test_more_carbon_dioxide_means_less_air_and_a_higher_dew_point(moisture, one, other):
    low, high = (wood_flue_gas(moisture, co2) for co2 in sorted((one, other)))
    assert high.air_ratio <= low.air_ratio
    assert high.mass <= low.mass
    assert high.dew_point(97000) >= low.dew_point(97000)


@given(moistures, moistures, co2s)
def test_wetter_wood_gives_less_heat_and_a_higher_dew_point(one, other, co2):
    dry, wet = (wood_flue_gas(moisture, co2) for moisture in sorted((one, other)))
    assert wet.net_calorific_value <= dry.net_calorific_value
    assert wet.water_vapour_share >= dry.water_vapour_share
    assert wet.mass_flow(7000, 0.75) >= dry.mass_flow(7000, 0.75) * (1 - 1e-12)


@given(moistures, co2s, st.floats(0, 0.02))
def test_humid_air_adds_to_the_water(moisture, co2, humidity):
    humid = wood_flue_gas(moisture, co2, air_humidity=humidity)
    assert humid.water_vapour_share >= wood_flue_gas(moisture, co2).water_vapour_share


@given(moistures, co2s, st.floats(0, 900))
def test_the_heat_capacity_at_a_temperature_is_the_one_asked_for(moisture, co2, celsius):
    gas = wood_flue_gas(moisture, co2, temperature=celsius)
    assert gas.heat_capacity == pytest.approx(gas.heat_capacity_at(celsius))
    assert 950 < gas.heat_capacity < 1500


@given(co2s)
def test_oxygen_leads_back_to_the_carbon_dioxide(co2):
    oxygen = wood_flue_gas(0.0, co2).oxygen_dry_percent
    assert co2_at_oxygen(oxygen) == pytest.approx(co2, rel=0.02)


def test_just_enough_air_leaves_no_oxygen():
    gas = wood_flue_gas(0.2, greatest_co2())
    assert gas.oxygen_dry_percent == pytest.approx(0, abs=1e-9)


def test_twice_the_efficiency_halves_the_mass_flow():
    gas = wood_flue_gas(0.2, 10)
    assert gas.mass_flow(7000, 0.4) == pytest.approx(2 * gas.mass_flow(7000, 0.8))


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((20, 10), "moisture_wet"),
        ((-0.1, 10), "moisture_wet"),
        ((0.2, 0.5), "co2_dry_percent"),
        ((0.2, 21), "co2_dry_percent"),
        ((0.2, math.nan), "co2_dry_percent"),
    ],
)
def test_it_names_the_input_that_cannot_be(arguments, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        wood_flue_gas(*arguments)


@pytest.mark.parametrize(
    ("extra", "name"), [({"temperature": 2000}, "temperature"), ({"air_humidity": 0.5}, "air_humidity")]
)
def test_it_names_the_option_that_cannot_be(extra, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        wood_flue_gas(0.2, 10, **extra)


@pytest.mark.parametrize(
    ("arguments", "name"), [((0, 0.7), "heat_output"), ((7000, 0), "efficiency"), ((7000, 70), "efficiency")]
)
def test_a_mass_flow_needs_an_output_and_a_share(arguments, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        wood_flue_gas(0.2, 10).mass_flow(*arguments)


@given(st.floats(200, 100_000), st.floats(1.001, 1.1))
def test_more_vapour_falls_out_at_a_higher_temperature(pressure, factor):
    assert dew_point(pressure * factor) > dew_point(pressure)


@pytest.mark.parametrize("pressure", [0, -1, 1e6, math.nan])
def test_a_dew_point_needs_a_pressure_that_can_be(pressure):
    with pytest.raises(ValueError, match=r"^vapour_pressure:"):
        dew_point(pressure)


@given(st.floats(0, 10))
def test_the_two_bases_of_moisture_lead_to_each_other(dry):
    wet = dry_to_wet_basis(dry)
    assert 0 <= wet < 1
    assert wet / (1 - wet) == pytest.approx(dry)


@pytest.mark.parametrize("dry", [-0.1, math.nan, math.inf])
def test_a_moisture_below_nothing_is_refused(dry):
    with pytest.raises(ValueError, match=r"^u:"):
        dry_to_wet_basis(dry)


@pytest.mark.parametrize("oxygen", [-1, 20.95, 30, math.nan])
def test_more_oxygen_than_in_air_is_refused(oxygen):
    with pytest.raises(ValueError, match=r"^oxygen_dry_percent:"):
        co2_at_oxygen(oxygen)
