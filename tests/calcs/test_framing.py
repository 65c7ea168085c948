"""Framing: bays, positions and cuts."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calcs.framing import (
    HANGER_SPAN,
    SINGLE_HEADER_SPAN,
    bay_clear_width,
    cut_list,
    fit_in_bay,
    framed_opening,
    nearest_fit,
)
from calcs.rulebook import load_rulebook

INCH = 0.0254
FOOT = 12 * INCH
widths = st.floats(0.1, 2)
offsets = st.floats(-1, 1)


@given(widths, widths, offsets)
def test_gaps_and_box_together_fill_the_bay(bay, opening, offset):
    fit = fit_in_bay(bay, opening, offset)
    assert fit.gap_left + opening + fit.gap_right == pytest.approx(bay)


@given(widths, widths, offsets)
def test_moving_by_the_shift_makes_it_fit_and_less_does_not(bay, opening, offset):
    fit = fit_in_bay(bay, opening, offset)
    if fit.shift_to_fit is None:
        assert opening > bay
        return
    assert fit_in_bay(bay, opening, offset + fit.shift_to_fit).fits
    if not fit.fits:
        assert abs(fit.shift_to_fit) > 0
        assert not fit_in_bay(
            bay, opening, offset + 0.99 * fit.shift_to_fit - 1e-8 * math.copysign(1, fit.shift_to_fit)
        ).fits


@given(widths, widths, offsets)
def test_left_and_right_are_mirror_images(bay, opening, offset):
    one, other = fit_in_bay(bay, opening, offset), fit_in_bay(bay, opening, -offset)
    assert (one.fits, one.gap_left) == (other.fits, other.gap_right)


@given(widths)
def test_a_box_exactly_as_wide_as_the_bay_fits_in_its_centre(width):
    assert fit_in_bay(width, width, 0.0).fits


def test_a_plumb_point_exactly_at_the_edge_of_the_spare_room_fits():
    assert fit_in_bay(22.5 * INCH, 14 * INCH, 4.25 * INCH).fits
    beyond = fit_in_bay(22.5 * INCH, 14 * INCH, 5 * INCH)
    assert not beyond.fits
    assert beyond.shift_to_fit == pytest.approx(-0.75 * INCH)
    assert fit_in_bay(22.5 * INCH, 14 * INCH, -5 * INCH).shift_to_fit == pytest.approx(0.75 * INCH)


def test_a_box_wider_than_the_bay_never_fits():
    assert fit_in_bay(12 * INCH, 14 * INCH, 0.0).shift_to_fit is None


def test_a_support_larger_than_the_clearance_opening_rules():
    assert framed_opening(10 * INCH, 2 * INCH, 15 * INCH) == pytest.approx(15 * INCH)
    assert framed_opening(10 * INCH, 2 * INCH, 12 * INCH) == pytest.approx(14 * INCH)


FIRST, SPACING, THICK, BOX = 23.25 * INCH, 24 * INCH, 1.5 * INCH, 14 * INCH


def near(wall_to_centre: float, low: float = 0.0, high: float = math.inf):
    return nearest_fit(FIRST, SPACING, THICK, BOX, wall_to_centre * INCH, allowed=(low * INCH, high * INCH))


def test_a_position_that_fits_stays():
    # The first bay is clear from 24 3/4 to 47 1/4 in, so centres from 31 3/4 to 40 1/4 in keep the box.
    found = near(36)
    assert found.fits_as_measured
    assert found.best.move == 0
    assert found.best.gap_near == pytest.approx(4.25 * INCH)
    assert found.best.gap_far == pytest.approx(4.25 * INCH)


@pytest.mark.parametrize(
    ("centre", "near_wall", "away"), [(42, 40.25, 55.75), (50, 40.25, 55.75), (66, 64.25, 79.75)]
)
def test_both_answers_are_given_and_the_shorter_move_is_best(centre, near_wall, away):
    found = near(centre)
    assert not found.fits_as_measured
    assert found.towards_wall.centre == pytest.approx(near_wall * INCH)
    assert found.away_from_wall.centre == pytest.approx(away * INCH)
    assert abs(found.best.move) == pytest.approx(min(centre - near_wall, away - centre) * INCH)
    assert found.towards_wall.move < 0 < found.away_from_wall.move


@pytest.mark.parametrize("edge", [31.75, 40.25])
def test_a_centre_on_the_edge_of_the_bay_fits(edge):
    assert near(edge).fits_as_measured


def test_the_allowed_range_rules_out_the_near_answer_and_says_so():
    found = near(42, low=41)
    assert found.towards_wall is None
    assert found.best is found.away_from_wall
    assert "Towards the wall" in found.reasons[0]


def test_a_position_that_loses_a_clearance_is_moved_out_even_within_the_same_bay():
    found = near(33, low=36)
    assert not found.fits_as_measured
    assert found.best.centre == pytest.approx(36 * INCH)


def test_nothing_within_the_allowed_range_gives_no_answer_and_two_reasons():
    found = near(48, low=42, high=50)
    assert (found.best, found.towards_wall, found.away_from_wall) == (None, None, None)
    assert len(found.reasons) == 2


def test_an_opening_wider_than_every_bay_says_so():
    found = nearest_fit(FIRST, 16 * INCH, THICK, 15 * INCH, 36 * INCH)
    assert found.best is None
    assert "wider than" in found.reasons[0]


def test_the_strip_beside_the_wall_is_no_bay():
    found = near(10)
    assert found.towards_wall is None
    assert found.away_from_wall.bay == 1


@given(
    first=st.floats(0, 1),
    spacing=st.floats(0.3, 0.8),
    thickness=st.floats(0.02, 0.1),
    opening=st.floats(0.1, 0.6),
    centre=st.floats(0, 6),
    low=st.floats(0, 3),
    width=st.floats(0, 4),
)
def test_no_position_on_a_fine_grid_is_nearer_than_the_answer(
    *, first, spacing, thickness, opening, centre, low, width
):
    clear = bay_clear_width(spacing, thickness)
    assume(abs(clear - opening) > 1e-6)
    high = low + width
    found = nearest_fit(first, spacing, thickness, opening, centre, allowed=(low, high))

    def fits(at: float) -> bool:
        into = (at - opening / 2 - first - thickness) % spacing
        return at - opening / 2 >= first + thickness - 1e-9 and into + opening <= clear + 1e-9

    step = (high - low) / 400
    tried = [at for at in (low + step * number for number in range(401)) if fits(at)]
    for option in (found.towards_wall, found.away_from_wall):
        if option is not None:
            assert fits(option.centre + 1e-10) or fits(option.centre - 1e-10)
            assert low - 1e-9 <= option.centre <= high + 1e-9
            assert min(option.gap_near, option.gap_far) >= -1e-9
    if found.best is None:
        assert not tried
    else:
        assert all(abs(at - centre) >= abs(found.best.move) - 1e-9 for at in tried)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"wall_to_first_member": -1.0}, "wall_to_first_member"),
        ({"spacing": 0.0}, "spacing"),
        ({"member_thickness": 1.0}, "member_thickness"),
        ({"opening": -1.0}, "opening"),
        ({"wall_to_centre": math.nan}, "wall_to_centre"),
        ({"allowed": (2.0, 1.0)}, "allowed"),
        ({"allowed": (math.nan, 1.0)}, "allowed"),
    ],
)
def test_it_names_the_input_it_refuses(changes, named):
    good = {
        "wall_to_first_member": FIRST,
        "spacing": SPACING,
        "member_thickness": THICK,
        "opening": BOX,
        "wall_to_centre": 1.0,
    }
    with pytest.raises(ValueError, match=named):
        nearest_fit(**{**good, **changes})


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: framed_opening(0, 0.05), "outer_diameter"),
        (lambda: framed_opening(0.25, -0.05), "clearance"),
        (lambda: framed_opening(0.25, 0.05, 0), "support_size"),
        (lambda: fit_in_bay(0, 0.3, 0), "bay_clear"),
        (lambda: fit_in_bay(0.5, 0, 0), "opening"),
        (lambda: fit_in_bay(0.5, 0.3, math.inf), "offset_from_centre"),
        (lambda: cut_list(0.5, 0.6, "2x6"), "opening"),
        (lambda: cut_list(0.5, 0.3, "2x7"), "stock"),
        (lambda: cut_list(-0.5, 0.3, "2x6"), "bay_clear"),
        (lambda: cut_list(0.5, 0.3, "2x6", members_cut=-1), "members_cut"),
        (lambda: nearest_fit(FIRST, SPACING, THICK, BOX, 1.0, members_cut=-1), "members_cut"),
    ],
)
def test_every_function_names_the_input_it_refuses(call, named):
    with pytest.raises(ValueError, match=named):
        call()


def test_headers_and_blocks_frame_the_opening():
    header, block = cut_list(22.5 * INCH, 14 * INCH, "2x6")
    assert (header.name, header.stock, header.count, header.length) == ("header", "2x6", 2, 22.5 * INCH)
    assert (block.name, block.stock, block.count, block.length) == ("block", "2x6", 2, 14 * INCH)
    assert header.note == block.note == ""


def test_headers_of_exactly_four_feet_stay_single_and_longer_ones_are_doubled():
    assert cut_list(4 * FOOT, 14 * INCH, "2x8")[0].count == 2
    longer = cut_list(4 * FOOT + INCH, 14 * INCH, "2x8")[0]
    assert longer.count == 4
    assert "double the trimmers" in longer.note
    assert "hangers" not in longer.note


def test_headers_over_six_feet_hang_in_hangers():
    assert "hangers" not in cut_list(6 * FOOT, 14 * INCH, "2x8")[0].note
    assert "hangers" in cut_list(6 * FOOT + INCH, 14 * INCH, "2x8")[0].note


def test_no_block_is_cut_where_the_members_bound_the_opening():
    assert [cut.name for cut in cut_list(14.5 * INCH, 14.5 * INCH, "2x6")] == ["header"]


def test_blocks_thicker_than_the_room_left_are_to_be_ripped():
    assert "rip that block" in cut_list(16 * INCH, 14 * INCH, "2x6")[1].note


def test_the_spans_are_those_of_the_rule_book():
    book = load_rulebook("us")
    assert pytest.approx(book.value("framing.single_header_span")) == SINGLE_HEADER_SPAN
    assert pytest.approx(book.value("framing.hanger_span")) == HANGER_SPAN
