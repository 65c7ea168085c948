"""Roof and framing figures printed on squares, tables and lumber."""

import pytest

from calcs.framing import LUMBER, bay_clear_width, cut_list, fit_in_bay, framed_opening
from calcs.roof import pitch_angle, roof_opening, slope_factor

INCH = 0.0254


# Framing square, rafter table, first line: length of common rafters per foot of run (read).
@pytest.mark.parametrize(("rise", "printed"), [(4, 12.65), (6, 13.42), (8, 14.42), (12, 16.97)])
def test_rafter_inches_per_foot_of_run(rise, printed):
    assert 12 * slope_factor(rise) == pytest.approx(printed, abs=0.005)


# Degrees of roof pitches as roofers' tables print them (from memory).
@pytest.mark.parametrize(("rise", "printed"), [(3, 14.04), (4, 18.43), (6, 26.57), (8, 33.69), (12, 45.00)])
def test_degrees_of_common_pitches(rise, printed):
    assert pitch_angle(rise) == pytest.approx(printed, abs=0.005)


# Framing square again: the hole along a 6/12 slope for 14 in level is 14 x 13.42 / 12 in (read).
def test_a_hole_along_the_slope_by_the_framing_square():
    hole = roof_opening(10 * INCH, 2 * INCH, pitch_angle(6))
    assert hole.along_plumb_cut / INCH == pytest.approx(14 * 13.42 / 12, abs=0.005)


# Dressed sizes of dimension lumber (read).
@pytest.mark.parametrize(
    ("name", "depth"), [("2x4", 3.5), ("2x6", 5.5), ("2x8", 7.25), ("2x10", 9.25), ("2x12", 11.25)]
)
def test_actual_sizes_of_lumber(name, depth):
    assert LUMBER[name] == pytest.approx((1.5 * INCH, depth * INCH))


# Common practice: members 24 in on centre, 1 1/2 in thick, leave 22 1/2 in clear.
def test_members_24_in_on_centre_leave_22_and_a_half():
    assert bay_clear_width(24 * INCH, 1.5 * INCH) / INCH == pytest.approx(22.5)


# Common practice: a 6 in flue of 10 in outside diameter and 2 in clearance needs a 14 in square opening.
def test_a_ten_inch_chimney_needs_a_14_in_opening():
    assert framed_opening(10 * INCH, 2 * INCH) / INCH == pytest.approx(14)


# Common practice: that box has 4 1/4 in to spare each side, so a plumb point an inch off centre may stay.
def test_the_box_has_four_and_a_quarter_inches_to_spare_each_side():
    centred = fit_in_bay(22.5 * INCH, 14 * INCH, 0.0)
    assert (centred.gap_left / INCH, centred.gap_right / INCH) == pytest.approx((4.25, 4.25))
    assert fit_in_bay(22.5 * INCH, 14 * INCH, 1 * INCH).fits


# Common practice: two headers of 22 1/2 in and two blocks of 14 in frame it.
def test_two_headers_and_two_blocks_frame_it():
    cuts = cut_list(22.5 * INCH, 14 * INCH, "2x6")
    assert [(cut.count, round(cut.length / INCH, 6)) for cut in cuts] == [(2, 22.5), (2, 14.0)]


# IRC R502.10 and R802.9, 2012 (read): single header up to 4 ft, double over 4 ft, hangers over 6 ft.
@pytest.mark.parametrize(
    ("feet", "headers", "hangers"), [(4, 2, False), (5, 4, False), (6, 4, False), (7, 4, True)]
)
def test_headers_by_their_span(feet, headers, hangers):
    header = cut_list(feet * 12 * INCH, 14 * INCH, "2x8")[0]
    assert header.count == headers
    assert ("hangers" in header.note) is hangers


# IRC R502.10 and R802.9, 2012 (read): trimmers that carry a header are doubled unless it stands within 3 ft
# of their bearing; where that was not measured they are doubled.
@pytest.mark.parametrize(("from_bearing", "doubled"), [(None, True), (4, True), (3, False), (1, False)])
def test_the_joists_beside_a_cut_one_are_doubled_unless_the_bearing_is_near(from_bearing, doubled):
    bearing = None if from_bearing is None else from_bearing * 12 * INCH
    header, block = cut_list(22.5 * INCH, 14 * INCH, "2x6", members_cut=1, from_bearing=bearing)
    assert (header.count, block.count) == (2, 2)
    assert ("double the joist on each side" in header.note) is doubled
    assert "hang the cut joist's ends" in header.note


# IRC R502.10, 2012 (read): a header over 4 ft asks for double trimmers wherever it stands.
def test_a_long_header_doubles_its_trimmers_near_the_bearing_too():
    header = cut_list(5 * 12 * INCH, 14 * INCH, "2x8", members_cut=1, from_bearing=12 * INCH)[0]
    assert header.count == 4
    assert "double the trimmers" in header.note
