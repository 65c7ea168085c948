"""The vocabulary of proof."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Check, Limit, Outcome, Provenance, Source, SourceKind

SOURCE = Source(SourceKind.CODE, "The Law 1", "1900", Provenance.MEMORY)
figures = st.floats(-1e6, 1e6)


@given(figures)
def test_equal_to_the_limit_passes(figure):
    assert Check("x", figure, Limit(figure, None, "m", SOURCE)).outcome is Outcome.PASS
    assert Check("x", figure, Limit(None, figure, "m", SOURCE)).outcome is Outcome.PASS
    assert Check("x", figure, Limit(figure, figure, "m", SOURCE)).outcome is Outcome.PASS


@given(figures, st.floats(1e-6, 1e6))
def test_beyond_the_limit_fails_on_either_side(figure, beyond):
    assert Check("x", figure - beyond, Limit(figure, None, "m", SOURCE)).outcome is Outcome.FAIL
    assert Check("x", figure + beyond, Limit(None, figure, "m", SOURCE)).outcome is Outcome.FAIL


@given(figures, st.floats(0, 1e6))
def test_more_room_never_turns_a_pass_into_a_failure(figure, room):
    limit = Limit(figure, None, "m", SOURCE)
    assert Check("x", figure + room, limit).outcome is Outcome.PASS
    assert Check("x", figure + room, limit).margin == pytest.approx(room, abs=1e-6)


@pytest.mark.parametrize(
    ("measured", "limit"),
    [(None, Limit(1, 2, "m", SOURCE)), (1.0, None), (None, None), (1.0, Limit(None, None, "m", SOURCE))],
)
def test_not_known_is_never_a_pass(measured, limit):
    check = Check("x", measured, limit)
    assert check.outcome is Outcome.UNKNOWN
    assert check.margin is None


def test_a_measure_that_is_no_number_never_passes():
    assert Check("x", math.nan, Limit(1, None, "m", SOURCE)).outcome is not Outcome.PASS


def test_the_margin_is_the_room_to_the_nearer_side():
    limit = Limit(1.0, 4.0, "m", SOURCE)
    assert Check("x", 1.5, limit).margin == pytest.approx(0.5)
    assert Check("x", 3.75, limit).margin == pytest.approx(0.25)
    assert Check("x", 5.0, limit).margin == pytest.approx(-1.0)


def test_limits_and_sources_come_back_from_json():
    limit = Limit(0.5, None, "m", SOURCE)
    assert Limit.from_dict(json.loads(json.dumps(limit.to_dict()))) == limit
    assert Source.from_dict(json.loads(json.dumps(SOURCE.to_dict()))) == SOURCE


def test_a_check_writes_its_verdict_into_json():
    data = json.loads(json.dumps(Check("x", 1.0, Limit(2.0, None, "m", SOURCE)).to_dict()))
    assert (data["outcome"], data["margin"]) == ("fail", -1.0)
    assert json.loads(json.dumps(Check("x", None, None).to_dict()))["outcome"] == "unknown"
