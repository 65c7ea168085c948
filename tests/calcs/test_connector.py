"""The connector."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Outcome, SourceKind
from calcs.connector import (
    Connector,
    connector_checks,
    connector_clearance,
    connector_limits,
    connector_protections,
    slope_of,
)
from calcs.connector_clearance import clearance_by_steps
from calcs.rulebook import load_rulebook

INCH = 0.0254
FOOT = 12 * INCH
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


def outcomes(**given_) -> dict[str, Outcome]:
    return {check.name.removeprefix("connector."): check.outcome for check in connector_checks(**given_)}


GOOD = {
    "rulebook": US,
    "collar_diameter": 6 * INCH,
    "chimney_height": 16 * FOOT,
    "clearance": 18 * INCH,
    "slope": 0.25 / 12,
    "run": 12 * FOOT,
    "elbows": 2,
    "elbow_angle": 90,
    "screws_per_joint": 3,
    "overlap": 2 * INCH,
    "diameter": 6 * INCH,
    "thickness": 0.024 * INCH,
    "passes_through": ("wall",),
}


def test_a_connector_that_meets_every_limit_exactly_passes_every_check():
    found = outcomes(**GOOD)
    assert set(found.values()) == {Outcome.PASS}
    assert len(found) == 10


@pytest.mark.parametrize(
    ("measure", "value"),
    [
        ("clearance", 17.9 * INCH),
        ("slope", 0.24 / 12),
        ("run", 12.1 * FOOT),
        ("elbows", 3),
        ("elbow_angle", 91),
        ("screws_per_joint", 2),
        ("overlap", 1.9 * INCH),
        ("diameter", 5.9 * INCH),
        ("thickness", 0.019 * INCH),
        ("passes_through", ("wall", "closet")),
    ],
)
def test_each_measure_fails_on_its_own(measure, value):
    found = outcomes(**{**GOOD, measure: value})
    name = "passages" if measure == "passes_through" else measure
    assert found[name] is Outcome.FAIL
    assert [one for one, outcome in found.items() if outcome is Outcome.FAIL] == [name]


def test_what_is_not_measured_is_unknown():
    found = outcomes(rulebook=US)
    assert set(found.values()) == {Outcome.UNKNOWN}
    assert "clearance" in found


def test_without_the_chimney_s_height_the_run_is_unknown():
    assert outcomes(**{**GOOD, "chimney_height": None})["run"] is Outcome.UNKNOWN


def test_a_measure_the_book_has_no_rule_for_is_unknown_and_never_a_pass():
    assert outcomes(rulebook=UK, slope=0.02)["slope"] is Outcome.UNKNOWN
    assert "slope" not in outcomes(rulebook=UK)


@given(st.floats(0.5, 20), st.floats(0.5, 20))
def test_a_taller_chimney_carries_a_longer_run(one, other):
    low, high = sorted((one, other))
    runs = [connector_limits(US, chimney_height=height)["connector.run"].maximum for height in (low, high)]
    assert runs[0] <= runs[1]


def test_a_listed_connector_keeps_its_listing_only():
    limit = connector_clearance(US, kind="double wall listed", listed_clearance=6 * INCH)
    assert limit.minimum == pytest.approx(6 * INCH)
    assert limit.source.kind is SourceKind.LISTING
    assert connector_clearance(US, kind="double wall listed") is None
    assert "connector.thickness" not in connector_limits(US, kind="double wall listed", diameter=6 * INCH)


@pytest.mark.parametrize(("listed", "required"), [(12, 18), (24, 24)])
def test_single_wall_pipe_keeps_the_stricter_of_rule_book_and_listing(listed, required):
    limit = connector_clearance(US, listed_clearance=listed * INCH)
    assert limit.minimum == pytest.approx(required * INCH)


def test_a_shield_takes_something_off_but_not_below_the_book_s_own_figure():
    assert connector_clearance(CA, protection="tile_on_board_ventilated").minimum == pytest.approx(0.225)
    assert connector_clearance(CA, protection="metal_ventilated").minimum == pytest.approx(0.225)
    assert connector_clearance(US, protection="metal_ventilated").minimum == pytest.approx(12 * INCH)
    assert connector_clearance(UK, protection="board", outer_diameter=0.2).minimum == pytest.approx(0.3)


def test_a_multiple_of_the_diameter_needs_the_diameter():
    assert connector_clearance(UK) is None


@pytest.mark.parametrize(("elbows", "tees", "outcome"), [(4, 0, "pass"), (2, 1, "pass"), (3, 1, "fail")])
def test_a_tee_counts_as_two_bends_where_the_book_says_so(elbows, tees, outcome):
    assert outcomes(rulebook=UK, elbows=elbows, tees=tees)["elbows"] == outcome


def test_no_thickness_is_claimed_for_a_size_the_table_does_not_hold():
    assert "connector.thickness" not in connector_limits(US, diameter=20 * INCH)
    assert connector_limits(US, diameter=5 * INCH)["connector.thickness"].minimum == pytest.approx(
        0.019 * INCH
    )
    assert connector_limits(US, diameter=11 * INCH)["connector.thickness"].minimum == pytest.approx(
        0.029 * INCH
    )


@pytest.mark.parametrize(
    ("given_", "named"),
    [
        ({"kind": "clay"}, "kind"),
        ({"listed_clearance": 0}, "listed_clearance"),
        ({"chimney_height": -1}, "chimney_height"),
        ({"slope": -0.1}, "slope"),
        ({"colour": 1}, "does not know colour"),
        ({"passes_through": ("cupboard",)}, "passes_through"),
        ({"connector": Connector(), "slope": 0.1}, "not both"),
        ({"protection": "curtain"}, "protection"),
    ],
)
def test_it_names_the_input_it_refuses(given_, named):
    with pytest.raises(ValueError, match=named):
        connector_checks(rulebook=US, **given_)


@given(st.floats(0.05, 3), st.floats(0, 2), st.floats(0, 0.5))
def test_the_slope_is_found_again_from_length_rise_and_run(run, upright, slope):
    rise = upright + slope * run
    length = upright + math.hypot(run, slope * run)
    assert slope_of(length, rise, run) == pytest.approx(slope, abs=1e-6)


@given(st.floats(0.05, 3), st.floats(0, 2), st.floats(0, 3), st.floats(0, 3))
def test_a_longer_pipe_between_the_same_ends_is_never_steeper(run, rise, one, other):
    straight = math.hypot(run, rise)
    steep, flat = (slope_of(straight + more, rise, run) for more in sorted((one, other)))
    assert flat <= steep + 1e-9


def test_a_pipe_longer_than_up_and_across_falls():
    assert slope_of(1.6, 0.5, 1.0) < 0
    assert slope_of(1.5, 0.5, 1.0) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [((0, 0.5, 1), "length"), ((1.5, -0.5, 1), "rise"), ((1.5, 0.5, 0), "run"), ((1.0, 0.5, 1), "length")],
)
def test_it_names_the_measure_of_the_slope_it_refuses(arguments, named):
    with pytest.raises(ValueError, match=f"^{named}"):
        slope_of(*arguments)


def test_a_listed_connector_may_run_as_far_as_the_chimney_is_high():
    listed = connector_limits(US, kind="double wall listed", chimney_height=16 * FOOT)
    assert listed["connector.run"].maximum / FOOT == pytest.approx(16)


def test_the_length_is_held_where_the_book_has_one():
    assert outcomes(rulebook=CA, length=3.0)["length"] is Outcome.PASS
    assert outcomes(rulebook=CA, length=3.001)["length"] is Outcome.FAIL
    assert "connector.length" not in connector_limits(US)


def test_shields_of_pipes_are_those_of_walls_or_the_book_s_own():
    assert [one.key for one in connector_protections(UK)] == ["shield"]
    assert "metal_ventilated" in [one.key for one in connector_protections(US)]


def test_the_working_of_a_clearance_ends_at_the_figure_that_ruled():
    for found in (
        clearance_by_steps(US, protection="metal_ventilated"),
        clearance_by_steps(CA, protection="metal_ventilated"),
        clearance_by_steps(UK, outer_diameter=0.15, protection="shield"),
        clearance_by_steps(US, listed_clearance=0.6),
        clearance_by_steps(US, kind="double wall listed", listed_clearance=0.2),
    ):
        assert found.reckoning[-1].result == found.required
        assert len(found.steps) == len(found.reckoning)
    assert clearance_by_steps(UK) is None
