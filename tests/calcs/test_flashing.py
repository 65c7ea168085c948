"""Flashing, nails and sealant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.flashing import (
    COVERING_NOTES,
    INCH,
    NAIL_SPACING,
    bead_yield,
    cricket_height,
    cricket_needed,
    flashing_for_pitch,
    flashing_plate,
    nail_count,
    sealant_cartridges,
)

lengths = st.floats(0.01, 20)


@given(lengths)
def test_nails_stand_no_further_apart_than_the_spacing(perimeter):
    assert perimeter / nail_count(perimeter) <= NAIL_SPACING + 1e-9


@given(lengths)
def test_one_nail_fewer_would_stand_too_far_apart(perimeter):
    nails = nail_count(perimeter)
    assert nails == 1 or perimeter / (nails - 1) > NAIL_SPACING - 1e-9


def test_a_perimeter_of_whole_spacings_takes_no_extra_nail():
    assert nail_count(27 * NAIL_SPACING) == 27


@given(lengths)
def test_the_cartridges_cover_the_bead_and_its_waste(length):
    cartridges = sealant_cartridges(length)
    assert cartridges * bead_yield() >= length * 1.15 - 1e-6
    assert (cartridges - 1) * bead_yield() < length * 1.15


def test_more_waste_never_takes_fewer_cartridges():
    counts = [sealant_cartridges(10, waste=waste) for waste in (0, 0.1, 0.5, 1)]
    assert counts == sorted(counts)


@pytest.mark.parametrize(
    ("pitch", "low", "high"),
    [(0, 0, 0.5), (0.5, 0, 0.5), (0.6, 0.5, 6), (6, 0.5, 6), (6.1, 6, 12), (12, 6, 12), (18, 12, 18)],
)
def test_it_chooses_the_flashing_made_for_the_slope(pitch, low, high):
    choice = flashing_for_pitch(pitch)
    assert (choice.lowest_pitch, choice.highest_pitch) == (low, high)


def test_every_known_covering_says_what_it_asks_for():
    assert all(flashing_for_pitch(4, covering).note == note for covering, note in COVERING_NOTES.items())


def test_a_flat_roof_has_no_cricket():
    assert cricket_height(1.0, 0) == 0


def test_a_penetration_of_exactly_30_in_needs_no_cricket():
    assert not cricket_needed(30 * INCH)
    assert cricket_needed(30.1 * INCH)


def test_the_plate_reaches_beyond_the_hole_on_every_side():
    plate = flashing_plate(0.3, 0.4, reach=0.1)
    assert (plate.across, plate.along) == (pytest.approx(0.5), pytest.approx(0.6))
    assert plate.perimeter == pytest.approx(2.2)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: nail_count(0), "perimeter"),
        (lambda: nail_count(1, -1), "spacing"),
        (lambda: bead_yield(0), "width"),
        (lambda: sealant_cartridges(-1), "bead_length"),
        (lambda: sealant_cartridges(1, waste=-0.1), "waste"),
        (lambda: cricket_height(0, 6), "width"),
        (lambda: cricket_height(1, -1), "pitch"),
        (lambda: flashing_for_pitch(19), "pitch"),
        (lambda: flashing_for_pitch(4, "straw"), "covering"),
        (lambda: flashing_plate(0, 1), "opening_across"),
    ],
)
def test_it_names_the_input_that_cannot_be(call, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        call()
