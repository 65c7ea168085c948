"""Attic shield and enclosure."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Polygon, box
from shapely.ops import unary_union

from calcs.shield import Panel, enclosure_panels, plywood_sheets, shield_fit

INCH = 0.0254
sizes = st.floats(0.1, 1)
heights = st.floats(0.3, 3)
pitches = st.floats(0, 60)


@given(sizes, sizes, heights, pitches)
def test_the_low_side_decides_and_the_shortfall_is_what_is_missing(shield, box, centre, pitch):
    assume(centre > box / 2 * math.tan(math.radians(pitch)))
    fit = shield_fit(shield, box, centre, pitch)
    assert fit.height_low <= centre <= fit.height_high
    assert fit.fits == (fit.shortfall == 0)
    if not fit.fits:
        assert shield - fit.shortfall == pytest.approx(fit.height_low)


@given(sizes, heights, pitches)
def test_a_shield_exactly_as_tall_as_the_low_side_fits(box, centre, pitch):
    low = centre - box / 2 * math.tan(math.radians(pitch))
    assume(low > 0.01)
    assert shield_fit(low, box, centre, pitch).fits
    assert not shield_fit(low + 1e-6, box, centre, pitch).fits


@given(sizes, sizes, heights, pitches, pitches)
def test_a_steeper_roof_never_makes_room(shield, box, centre, one, other):
    low, high = sorted((one, other))
    assume(centre > box / 2 * math.tan(math.radians(high)))
    assert shield_fit(shield, box, centre, high).height_low <= shield_fit(shield, box, centre, low).height_low


def panels(inside, low, rise, thickness):
    return enclosure_panels(inside, low, low + rise, thickness)


@given(sizes, heights, st.floats(0, 0.6), st.floats(0.006, 0.03))
def test_the_panels_meet_the_deck_at_every_corner(inside, low, rise, thickness):
    slope = rise / inside
    assume(low - thickness * slope > 0.01)
    low_panel, high_panel, side = panels(inside, low, rise, thickness)

    def deck(at: float) -> float:
        """Height of the deck, counted from the inner face of the low panel."""
        return low + at * slope

    assert low_panel.height_left == low_panel.height_right == pytest.approx(deck(0))
    assert high_panel.height_left == high_panel.height_right == pytest.approx(deck(inside + thickness))
    assert side.height_left == pytest.approx(deck(-thickness))
    assert side.height_right == pytest.approx(deck(inside + thickness))
    assert math.tan(math.radians(low_panel.bevel_degrees)) == pytest.approx(slope)


@given(sizes, heights, st.floats(0, 0.6), st.floats(0.006, 0.03))
def test_the_side_panel_is_a_true_shape_with_its_trapezoid_area(inside, low, rise, thickness):
    assume(low - thickness * rise / inside > 0.01)
    side = panels(inside, low, rise, thickness)[2]
    shape = Polygon(side.corners)
    assert shape.is_valid
    assert shape.area == pytest.approx(side.width * (side.height_left + side.height_right) / 2)


def corners_in_place(inside, low, rise, thickness):
    """The panels put up as they are named: each corner as (across the slope, uphill, height).

    The clear square lies from 0 to `inside` either way; uphill is the second of the three.
    """
    low_panel, high_panel, side = panels(inside, low, rise, thickness)
    solids = []
    for panel, inner, way in ((low_panel, 0.0, -1), (high_panel, inside, 1)):
        faces = (inner, inner + way * panel.thickness)
        # The longer face is the uphill one of the two.
        tall, short = max(faces), min(faces)
        solids.append(
            [
                (x, y, z)
                for x in (0.0, panel.width)
                for y, top in ((tall, panel.height_left), (short, panel.height_short))
                for z in (0.0, top)
            ]
        )
    for edge in (-thickness, inside):
        solids.append([(x, y - thickness, z) for x in (edge, edge + side.thickness) for y, z in side.corners])
    return solids


@given(sizes, heights, st.floats(0, 0.6), st.floats(0.006, 0.03))
def test_the_panels_put_up_meet_the_deck_with_all_their_top_and_leave_the_square_clear(
    inside, low, rise, thickness
):
    slope = rise / inside
    assume(low - thickness * slope > 0.01)
    solids = corners_in_place(inside, low, rise, thickness)
    for solid in solids:
        for _, y, z in solid:
            assert z == 0.0 or z == pytest.approx(low + slope * y)
        assert sum(z > 0 for _, _, z in solid) == 4
    grounds = [MultiPoint([(x, y) for x, y, _ in solid]).convex_hull for solid in solids]
    clear = box(0, 0, inside, inside)
    assert all(ground.intersection(clear).area == pytest.approx(0, abs=1e-12) for ground in grounds)
    # Together they leave no gap: a closed frame around the clear square.
    frame = box(-thickness, -thickness, inside + thickness, inside + thickness).difference(clear)
    assert unary_union(grounds).area == pytest.approx(frame.area)
    assert sum(ground.area for ground in grounds) == pytest.approx(frame.area)


@given(sizes, heights, st.floats(0.006, 0.03))
def test_under_a_flat_roof_all_panels_are_alike_in_height_and_square(inside, height, thickness):
    made = panels(inside, height, 0.0, thickness)
    for panel in made:
        assert panel.height_left == panel.height_right == pytest.approx(height)
        assert panel.bevel_degrees == 0
        assert "long point" not in panel.note


def test_panels_say_how_they_meet_at_the_corners():
    low, high, side = panels(0.35, 0.5, 0.2, 0.0127)
    assert low.laps == high.laps == "stands between the side panels"
    assert side.laps == "covers the ends of the low and high panels"
    assert side.width == pytest.approx(low.width + 2 * low.thickness)


@given(st.floats(0.1, 0.6), st.floats(0.1, 1.0), st.floats(0, 0.4), st.floats(0.006, 0.03))
def test_the_sheets_counted_are_at_least_the_area_needed(inside, low, rise, thickness):
    assume(low - thickness * rise / inside > 0.01)
    made = panels(inside, low, rise, thickness)
    area = sum(Polygon(panel.corners).area * panel.count for panel in made)
    assert plywood_sheets(made) >= area / (1.2192 * 2.4384) - 1e-9


def test_more_panels_than_a_sheet_holds_take_a_second_one():
    square = Panel("square", 4, ((0, 0), (1, 0), (1, 1), (0, 1)), 0.012, 0.0)
    assert plywood_sheets([square]) == 2
    assert plywood_sheets([]) == 0


def test_a_panel_longer_than_a_sheet_is_wide_is_turned():
    board = Panel("board", 1, ((0, 0), (2.4, 0), (2.4, 0.3), (0, 0.3)), 0.012, 0.0)
    assert plywood_sheets([board]) == 1


def test_a_panel_larger_than_a_sheet_is_named():
    tall = Panel("high panel", 1, ((0, 0), (1, 0), (1, 3), (0, 3)), 0.012, 0.0)
    with pytest.raises(ValueError, match="high panel is larger than a sheet"):
        plywood_sheets([tall])


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: shield_fit(0, 0.35, 0.5, 20), "shield_height"),
        (lambda: shield_fit(0.4, -1, 0.5, 20), "box"),
        (lambda: shield_fit(0.4, 0.35, math.nan, 20), "height_at_centre"),
        (lambda: shield_fit(0.4, 0.35, 0.05, 45), "height_at_centre"),
        (lambda: shield_fit(0.4, 0.35, 0.5, 85), "pitch_degrees"),
        (lambda: enclosure_panels(0, 0.2, 0.3, 0.012), "inside"),
        (lambda: enclosure_panels(0.35, -0.2, 0.3, 0.012), "height_low"),
        (lambda: enclosure_panels(0.35, 0.3, 0.2, 0.012), "height_high"),
        (lambda: enclosure_panels(0.35, 0.2, 0.3, 0), "panel_thickness"),
        (lambda: enclosure_panels(0.35, 0.001, 0.35, 0.012), "height_low"),
    ],
)
def test_it_names_the_input_it_refuses(call, named):
    with pytest.raises(ValueError, match=named):
        call()
