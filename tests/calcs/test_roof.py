"""Roof geometry."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.roof import pitch_angle, roof_opening, roof_passage, slope_factor

rises = st.floats(0, 60)
diameters = st.floats(0.05, 1)
clearances = st.floats(0, 0.3)
pitches = st.floats(0, 75)
thicknesses = st.floats(0, 0.1)


@given(rises, st.floats(0.5, 60))
def test_the_slope_factor_is_one_over_the_cosine_of_the_pitch(rise, run):
    assert slope_factor(rise, run) == pytest.approx(1 / math.cos(math.radians(pitch_angle(rise, run))))


@given(rises, rises)
def test_a_steeper_roof_has_a_larger_angle_and_a_longer_slope(one, other):
    low, high = sorted((one, other))
    assert pitch_angle(low) <= pitch_angle(high)
    assert slope_factor(low) <= slope_factor(high)


@given(diameters, clearances, pitches, thicknesses)
def test_the_hole_is_never_shorter_than_wide_and_a_square_cut_never_shorter_than_a_plumb_cut(d, c, p, t):
    hole = roof_opening(d, c, p, t)
    assert hole.across == pytest.approx(d + 2 * c)
    assert hole.along_square_cut >= hole.along_plumb_cut >= hole.across


@given(diameters, clearances, thicknesses)
def test_a_flat_roof_needs_a_hole_as_long_as_wide_however_it_is_cut(d, c, t):
    hole = roof_opening(d, c, 0.0, t)
    assert hole.along_square_cut == hole.along_plumb_cut == hole.across


@given(diameters, clearances, pitches, thicknesses)
def test_a_square_cut_hole_keeps_the_clearance_through_the_whole_deck(d, c, p, t):
    # Along the slope the upper edge of the hole leans back over the pipe; project both faces to the level.
    hole = roof_opening(d, c, p, t)
    angle = math.radians(p)
    free_at_both_faces = hole.along_square_cut * math.cos(angle) - t * math.sin(angle)
    assert free_at_both_faces == pytest.approx(d + 2 * c)


@given(diameters, clearances, pitches, thicknesses, st.floats(0, 0.3))
def test_deck_and_headers_stay_clear_of_the_pipe_through_their_whole_depth(d, c, p, t, r):
    way = roof_passage(d, c, p, t, r)
    angle, half = math.radians(p), d / 2 + c

    def level(along: float, up: float) -> float:
        """Level distance from the pipe's axis of a point along the slope and above the deck's underside."""
        return along * math.cos(angle) - up * math.sin(angle)

    for up in (0.0, t):
        assert level(way.deck_up, up) >= half - 1e-9
        assert level(-way.deck_down, up) <= -half + 1e-9
    for up in (0.0, -r):
        assert level(way.square_header_up, up) >= half - 1e-9
        assert level(-way.square_header_down, up) <= -half + 1e-9
    # Not a hair's breadth more than that: one corner of each touches the clearance.
    assert level(way.deck_up, t) == pytest.approx(half)
    assert level(-way.deck_down, 0.0) == pytest.approx(-half)
    assert level(way.square_header_up, 0.0) == pytest.approx(half)
    assert level(-way.square_header_down, -r) == pytest.approx(-half)


@given(diameters, clearances, pitches, thicknesses, st.floats(0, 0.3))
def test_the_passage_agrees_with_the_hole(d, c, p, t, r):
    way, hole = roof_passage(d, c, p, t, r), roof_opening(d, c, p, t)
    assert way.deck_down + way.deck_up == pytest.approx(hole.along_square_cut)
    assert way.between_plumb_headers == pytest.approx(hole.along_plumb_cut)
    assert way.between_square_headers >= way.between_plumb_headers - 1e-12


def test_it_names_a_rafter_depth_it_refuses():
    with pytest.raises(ValueError, match="rafter_depth"):
        roof_passage(0.25, 0.05, 20, 0.012, -0.1)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ((0, 0.05, 20), "outer_diameter"),
        ((math.nan, 0.05, 20), "outer_diameter"),
        ((0.25, -0.01, 20), "clearance"),
        ((0.25, 0.05, 90), "pitch_degrees"),
        ((0.25, 0.05, -1), "pitch_degrees"),
        ((0.25, 0.05, math.nan), "pitch_degrees"),
        ((0.25, 0.05, 20, -0.01), "deck_thickness"),
    ],
)
def test_it_names_the_input_it_refuses(arguments, named):
    with pytest.raises(ValueError, match=named):
        roof_opening(*arguments)


@pytest.mark.parametrize("function", [pitch_angle, slope_factor])
@pytest.mark.parametrize(("rise", "run", "named"), [(-1, 12, "rise"), (6, 0, "run"), (6, math.inf, "run")])
def test_it_names_the_side_it_refuses(function, rise, run, named):
    with pytest.raises(ValueError, match=named):
        function(rise, run)
