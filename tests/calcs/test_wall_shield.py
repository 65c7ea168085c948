"""How a protection stands between appliance and wall."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.rulebook import load_rulebook
from calcs.wall_shield import hearth_wall, shield_limits, shield_reach

INCH = 0.0254
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))
lengths = st.floats(0.01, 3)


@given(lengths, lengths)
def test_the_bare_wall_beyond_the_shield_is_as_far_as_it_has_to_be(unprotected, distance):
    reach = shield_reach(unprotected, distance)
    assert math.hypot(reach, distance) == pytest.approx(max(unprotected, distance))


@given(lengths, lengths, lengths)
def test_standing_further_off_never_takes_a_larger_shield(unprotected, one, other):
    near, far = sorted((one, other))
    assert shield_reach(unprotected, far) <= shield_reach(unprotected, near)


def test_where_the_reach_follows_from_the_clearance_it_needs_both_figures():
    assert "protection.beyond" not in shield_limits(US)
    found = shield_limits(US, unprotected=36 * INCH, distance=12 * INCH)
    assert found["protection.beyond"].minimum / INCH == pytest.approx(math.sqrt(36**2 - 12**2))
    assert found["protection.above"] == found["protection.beyond"]


def test_a_book_s_own_reach_stands_whatever_the_clearance():
    found = shield_limits(CA, unprotected=1.2, distance=0.4)
    assert found["protection.beyond"].minimum == pytest.approx(0.45)
    bottom = found["protection.open_bottom"]
    assert (bottom.minimum, bottom.maximum) == pytest.approx((0.025, 0.075))
    assert found["protection.open_top"].minimum == pytest.approx(0.075)


def test_a_book_without_such_rules_has_no_limits():
    assert shield_limits(UK, unprotected=1.0, distance=0.5) == {}


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_wall_nearer_by_is_never_thinner(one, other):
    near, far = (hearth_wall(distance, UK) for distance in sorted((one, other)))
    assert (near.thickness if near else 0) >= (far.thickness if far else 0)


@pytest.mark.parametrize(
    ("distance", "meets", "thickness"),
    [(0.05, True, 0.2), (0.051, True, 0.075), (0.3, True, 0.075), (0.15, False, 0.075)],
)
def test_a_wall_just_at_the_bound_counts_as_the_nearer(distance, meets, thickness):
    assert hearth_wall(distance, UK, hearth_meets_wall=meets).thickness == thickness


def test_a_wall_far_enough_or_without_a_rule_needs_nothing():
    assert hearth_wall(0.301, UK) is None
    assert hearth_wall(0.151, UK, hearth_meets_wall=False) is None
    assert hearth_wall(0.01, US) is None


@pytest.mark.parametrize(
    ("function", "arguments", "named"),
    [
        (shield_reach, (0, 1), "unprotected"),
        (shield_reach, (1, -1), "distance"),
        (shield_reach, (math.nan, 1), "unprotected"),
        (hearth_wall, (-1, UK), "distance"),
    ],
)
def test_it_names_the_input_it_refuses(function, arguments, named):
    with pytest.raises(ValueError, match=named):
        function(*arguments)
