"""Sealant yield and cricket heights against published tables."""

import pytest

from calcs.flashing import (
    CARTRIDGE_VOLUME,
    CRICKET_FROM_WIDTH,
    INCH,
    NAIL_EDGE,
    PLATE_REACH,
    bead_yield,
    cricket_height,
    cricket_needed,
    flashing_plate,
    nail_count,
    sealant_cartridges,
)
from calcs.rulebook import load_rulebook


# Sealant makers' yield tables (second-hand): a 10.1 fl oz cartridge (18.3 in3, read) in a 1/4 x 3/8 in joint
# gives about 16 ft.
def test_a_cartridge_gives_the_tabulated_length_of_bead():
    assert bead_yield() / (12 * INCH) == pytest.approx(16, abs=0.5)


# The same tables for other joints: 1/4 x 1/4 in 24 ft, 1/2 x 1/4 in 12 ft, 1/2 x 1/2 in 6 ft; from memory.
@pytest.mark.parametrize(("width", "depth", "feet"), [(0.25, 0.25, 24), (0.5, 0.25, 12), (0.5, 0.5, 6)])
def test_other_joints_agree_with_the_table(width, depth, feet):
    assert bead_yield(width * INCH, depth * INCH) / (12 * INCH) == pytest.approx(feet, abs=0.5)


# IRC table R1003.20, height of a cricket as a part of its width; 12/12 and 6/12 read, the others from memory.
@pytest.mark.parametrize(("pitch", "part"), [(12, 1 / 2), (8, 1 / 3), (6, 1 / 4), (4, 1 / 6), (3, 1 / 8)])
def test_the_cricket_has_the_tabulated_height(pitch, part):
    assert cricket_height(1.0, pitch) == pytest.approx(part)


# A US fluid ounce is 231/128 in3 by definition; the trade prints 18.3 in3 for 10.1 of them (read).
def test_a_cartridge_holds_what_is_printed_on_it():
    cubic_inches = CARTRIDGE_VOLUME / INCH**3
    assert cubic_inches == pytest.approx(10.1 * 231 / 128, abs=0.1)
    assert load_rulebook("us").value("flashing.cartridge") == pytest.approx(CARTRIDGE_VOLUME)


# Sealant makers' yield tables (second-hand), 16 ft of 1/4 x 3/8 in: 30 ft take two cartridges and nearly all
# of them, and a third with the sixth part that common practice (from memory) allows for waste.
def test_the_cartridges_for_a_length_follow_the_table():
    feet = 12 * INCH
    assert [sealant_cartridges(length * feet, waste=0) for length in (16, 17, 30, 33)] == [1, 2, 2, 3]
    assert sealant_cartridges(30 * feet) == 3


# IRC R905.2.8 (read): side flashing at least 4 in up and 4 in out; the plate's reach is common practice.
def test_the_plate_reaches_further_than_the_least_side_flashing():
    assert load_rulebook("us").value("flashing.side_out") <= PLATE_REACH


# Common practice (second-hand): nails about 4 in apart. A plate of 26 x 28 in with its nails 1/2 in in from
# the edge has a line of 104 in: 26 nails.
def test_the_nails_around_a_plate_are_counted_along_their_line():
    plate = flashing_plate(14 * INCH, 16 * INCH)
    spacing = load_rulebook("us").value("flashing.nail_spacing")
    assert nail_count(plate.perimeter - 8 * NAIL_EDGE, spacing) == 26


# IRC R1003.20 (read): a cricket where the penetration is more than 30 in wide.
def test_a_cricket_is_needed_from_the_width_the_rule_book_prints():
    widest = load_rulebook("us").value("flashing.cricket_width")
    assert widest == pytest.approx(CRICKET_FROM_WIDTH)
    assert not cricket_needed(widest)
    assert cricket_needed(widest + INCH / 16)


# IRC table R1003.20 as the rule book holds it: 12/12 and 6/12 read, the other rows from memory.
def test_the_cricket_follows_the_rule_book():
    table = load_rulebook("us").table("flashing.cricket")
    assert len(table.rows) == 5
    for row in table.rows.values():
        assert cricket_height(1.0, row.one("rise")) == pytest.approx(row.one("share"))
