"""Clearance reductions, cell by cell."""

import pytest

from calcs.clearance import reduced_clearance, unlisted_clearance
from calcs.rulebook import load_rulebook

INCH = 0.0254
US, CA = load_rulebook("us"), load_rulebook("ca")

# IRC Table M1306.2, 2018, grid as G2409.2: unprotected 36, 18, 12, 9, 6 in. Cells "above/sides" in inches.
# Read, but masonry ventilated and board ventilated (from memory), batts between metal (second-hand), and the
# 12 in column of sheet metal and of two sheets (from memory).
IRC_GRID = {
    "masonry": "-/24 -/12 -/9 -/6 -/5",
    "board_over_batts": "24/18 12/9 9/6 6/5 4/3",
    "metal_over_batts_ventilated": "18/12 9/6 6/4 5/3 3/3",
    "masonry_ventilated": "-/12 -/6 -/6 -/6 -/6",
    "metal_ventilated": "18/12 9/6 6/4 5/3 3/2",
    "board_ventilated": "18/12 9/6 6/4 5/3 3/3",
    "two_metal_ventilated": "18/12 9/6 6/4 5/3 3/3",
    "batts_between_metal_ventilated": "18/12 9/6 6/4 5/3 3/3",
}
CELLS = [
    (key, unprotected, position, figure)
    for key, line in IRC_GRID.items()
    for unprotected, cell in zip((36, 18, 12, 9, 6), line.split(), strict=True)
    for position, figure in zip(("above", "side"), cell.split("/"), strict=True)
]


@pytest.mark.parametrize(("key", "unprotected", "position", "figure"), CELLS)
def test_irc_table_m1306_2(key, unprotected, position, figure):
    found = reduced_clearance(unprotected * INCH, key, position, US, solid_fuel=False)
    expected = unprotected if figure == "-" else float(figure)
    assert found.required / INCH == pytest.approx(expected, abs=1e-6)


# NFPA 211, table of clearance reduction (second-hand): reduction % for wall / ceiling, least in inches.
@pytest.mark.parametrize(
    ("key", "position", "expected"),
    [
        ("masonry", "wall", 24),
        ("masonry", "ceiling", 36),
        ("board_over_batts", "wall", 18),
        ("board_over_batts", "ceiling", 24),
        ("metal_ventilated", "wall", 12),
        ("metal_ventilated", "ceiling", 18),
        ("masonry_ventilated", "wall", 12),
        ("masonry_ventilated", "ceiling", 36),
    ],
)
def test_nfpa_211_from_36_in(key, position, expected):
    assert reduced_clearance(36 * INCH, key, position, US).required / INCH == pytest.approx(
        expected, abs=1e-6
    )


# NFPA 211, table of clearance reduction (second-hand): wall % / ceiling %, least at the wall / ceiling in
# inches. 33 and 66 are printed for one and two thirds.
@pytest.mark.parametrize(
    ("key", "wall", "ceiling", "wall_least", "ceiling_least"),
    [
        ("masonry", 33, None, 24, None),
        ("board_over_batts", 50, 33, 18, 24),
        ("metal_over_batts_ventilated", 66, 50, 12, 18),
        ("masonry_ventilated", 66, None, 12, None),
        ("metal_ventilated", 66, 50, 12, 18),
        ("board_ventilated", 66, 50, 12, 18),
        ("two_metal_ventilated", 66, 50, 12, 18),
        ("batts_between_metal_ventilated", 66, 50, 12, 18),
    ],
)
def test_nfpa_211_every_row(key, wall, ceiling, wall_least, ceiling_least):
    row = US.table("clearance.reduction").rows[key]
    percents = [
        None if share is None else int(share * 100) for share in (row.one("wall"), row.one("ceiling"))
    ]
    assert percents == [wall, ceiling]
    leasts = [row.one("wall_least"), row.one("ceiling_least")]
    assert [None if one is None else round(one / INCH, 6) for one in leasts] == [wall_least, ceiling_least]
    assert row.source.provenance == "second-hand"


# NFPA 211 (second-hand), published answer: 36 in with a 66 % reduction is 12 in.
def test_nfpa_211_published_answer_for_66_percent():
    assert reduced_clearance(36 * INCH, "metal_ventilated", "wall", US).required / INCH == pytest.approx(12)


# NFPA 211 (second-hand): solid fuel never below 12 in to a combustible wall; listed at 12 in or less: none.
def test_nfpa_211_floor_and_no_reduction_at_12_in():
    assert reduced_clearance(24 * INCH, "metal_ventilated", "wall", US).required / INCH == pytest.approx(12)
    listed = reduced_clearance(12 * INCH, "metal_ventilated", "wall", US, listed=True, reduction_allowed=True)
    assert (listed.required / INCH, listed.reduced) == (pytest.approx(12), False)


# CSA B365 (second-hand): reductions % for sides / top, from 1200 mm for an uncertified radiant heater.
@pytest.mark.parametrize(
    ("key", "position", "millimetres"),
    [
        ("metal_ventilated", "wall", 396),
        ("metal_ventilated", "ceiling", 600),
        ("tile_on_board_ventilated", "wall", 600),
        ("tile_on_board_ventilated", "ceiling", 804),
        ("tile_on_metal_ventilated", "wall", 396),
        ("tile_on_metal_ventilated", "ceiling", 600),
        ("brick_ventilated", "wall", 600),
        ("brick_ventilated", "ceiling", 1200),
        ("brick_on_metal_ventilated", "wall", 396),
        ("brick_on_metal_ventilated", "ceiling", 1200),
    ],
)
def test_csa_b365_reductions(key, position, millimetres):
    found = reduced_clearance(1.2, key, position, CA)
    assert found.required * 1000 == pytest.approx(millimetres, abs=0.5)


# UMC 2012 (read): unlisted radiant heater 36 in all round; fireplace stove 48 in, front 54 in.
@pytest.mark.parametrize(
    ("kind", "position", "inches"),
    [
        ("radiant", "rear", 36),
        ("radiant", "side", 36),
        ("radiant", "front", 36),
        ("radiant", "above", 36),
        ("open fire", "rear", 48),
        ("open fire", "side", 48),
        ("open fire", "above", 48),
        ("open fire", "front", 54),
    ],
)
def test_unlisted_appliances_in_the_us(kind, position, inches):
    assert unlisted_clearance(kind, position, US).minimum / INCH == pytest.approx(inches)


# CSA B365 (second-hand): uncertified radiant 1200 mm, jacketed 900 mm, front of the door 1200 mm.
@pytest.mark.parametrize(
    ("kind", "position", "millimetres"),
    [
        ("radiant", "rear", 1200),
        ("radiant", "front", 1200),
        ("jacketed", "side", 900),
        ("jacketed", "front", 1200),
    ],
)
def test_uncertified_appliances_in_canada(kind, position, millimetres):
    assert unlisted_clearance(kind, position, CA).minimum * 1000 == pytest.approx(millimetres)
