"""Sealant yield and cricket heights against published tables."""

import pytest

from calcs.flashing import INCH, bead_yield, cricket_height
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


# IRC table R1003.20 as the rule book holds it: 12/12 and 6/12 read, the other rows from memory.
def test_the_cricket_follows_the_rule_book():
    table = load_rulebook("us").table("flashing.cricket")
    assert len(table.rows) == 5
    for row in table.rows.values():
        assert cricket_height(1.0, row.one("rise")) == pytest.approx(row.one("share"))
