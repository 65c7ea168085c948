"""Moisture of the fuel, and where alarms hang."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.alarms import alarm_limits, alarm_rules
from calcs.checks import Outcome
from calcs.fluegas import dry_to_wet_basis
from calcs.moisture import moisture_check, moisture_limit, wet_to_dry_basis
from calcs.rulebook import load_rulebook

US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


@given(st.floats(0, 0.95))
def test_the_two_bases_turn_into_each_other(wet):
    assert dry_to_wet_basis(wet_to_dry_basis(wet)) == pytest.approx(wet)


@given(st.floats(0, 0.9), st.floats(0, 0.9))
def test_wetter_wood_shows_more_on_either_basis(one, other):
    low, high = sorted((one, other))
    assert wet_to_dry_basis(low) <= wet_to_dry_basis(high)


@pytest.mark.parametrize(
    ("wet", "outcome"),
    [(0.2, Outcome.PASS), (0.201, Outcome.FAIL), (0.0, Outcome.PASS), (None, Outcome.UNKNOWN)],
)
def test_wood_as_wet_as_the_limit_passes(wet, outcome):
    assert moisture_check(wet, US).outcome is outcome


@pytest.mark.parametrize("fuel", ["pellets", "smokeless", "coal"])
def test_the_rule_is_for_wood(fuel):
    assert moisture_limit(UK, fuel) is None
    assert moisture_check(0.5, UK, fuel) is None


@pytest.mark.parametrize("wet", [-0.1, 1, 1.5, math.nan])
def test_it_names_the_moisture_it_refuses(wet):
    with pytest.raises(ValueError, match="wet"):
        moisture_check(wet, US)


def test_alarm_limits_are_those_of_the_book_and_no_others():
    assert list(alarm_limits(UK)) == [
        "alarm.co_distance", "alarm.co_ceiling_from_wall", "alarm.co_wall_below_ceiling",
    ]  # fmt: skip
    assert alarm_limits(US) == alarm_limits(CA) == {}


def test_alarms_in_words_name_their_rule():
    told = {rule.kind: rule.source.reference for rule in alarm_rules(US)}
    assert told == {"carbon monoxide": "IRC R315", "smoke": "IRC R314"}
    assert alarm_rules(UK) == ()
