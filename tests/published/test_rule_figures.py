"""Figures of the rule books that no calculation stands on alone, as their sources print them."""

import pytest

from calcs.rulebook import load_rulebook

# The codes and standards of the rows, read, second-hand or from memory as each row says: key -> figure as
# printed, with the provenance that the rule book must carry.
PRINTED = [
    ("us", "termination.above_penetration", "3 ft", "read"),  # IRC R1003.9
    ("us", "termination.above_radius", "2 ft", "read"),
    ("us", "termination.radius", "10 ft", "read"),
    ("us", "chimney.flue_area.interior", "3 x", "read"),  # IRC
    ("us", "chimney.flue_area.exterior", "2 x", "second-hand"),  # NFPA 211
    ("us", "chimney.continuous_temperature", "1000 degF", "read"),  # UL 103 HT
    ("us", "chimney.short_temperature", "2100 degF", "read"),
    ("us", "chimney.offset_angle", "30 deg", "read"),
    ("us", "chimney.elbows", "4", "memory"),
    ("us", "shield.thickness", "0.0187 in", "read"),
    ("us", "shield.above_insulation", "2 in", "memory"),
    ("us", "flashing.cricket_width", "30 in", "read"),  # IRC R1003.20
    ("us", "flashing.metal_thickness", "0.019 in", "read"),
    ("us", "sweep.deposit", "0.125 in", "second-hand"),  # NFPA 211
    ("us", "fuel.moisture", "20 %", "read"),
    ("us", "fall.protection_from", "6 ft", "read"),  # OSHA 1926.501
    ("us", "ladder.above_landing", "3 ft", "read"),  # OSHA 1926.1053
    ("us", "ladder.angle", "75.5 deg", "read"),
    ("us", "dust.silica", "50 ug/m3", "read"),  # OSHA 1926.1153
    ("ca", "termination.above_penetration", "900 mm", "read"),  # NBC 9.21.4.4
    ("ca", "termination.above_radius", "600 mm", "read"),
    ("ca", "termination.radius", "3 m", "read"),
    ("ca", "clearance.air_space", "21 mm", "second-hand"),  # CSA B365
    ("uk", "chimney.least_height", "4.5 m", "read"),  # Approved Document J
    ("uk", "alarm.co_distance", "1 to 3 m", "read"),
    ("uk", "alarm.co_ceiling_from_wall", "300 mm", "read"),
    ("uk", "alarm.co_wall_below_ceiling", "150 mm", "read"),
    ("uk", "air_supply.leaky", "550 mm2/kW", "read"),
    ("uk", "air_supply.stabiliser.leaky_first", "300 mm2/kW", "read"),
    ("uk", "air_supply.stabiliser.leaky_rest", "850 mm2/kW", "read"),
    ("uk", "termination.from_surface", "2300 mm", "memory"),  # Diagram 17
    ("uk", "termination.ignitable_above_surface", "1800 mm", "read"),
    ("uk", "sweep.interval.wood", "3 month", "read"),
    ("uk", "sweep.interval.coal", "6 month", "read"),
    ("uk", "notice.certificate_within", "30 day", "read"),
]


@pytest.mark.parametrize(("code", "key", "printed", "provenance"), PRINTED)
def test_a_rule_carries_the_printed_figure_and_how_it_was_known(code, key, printed, provenance):
    rule = load_rulebook(code).find(key)
    assert (rule.as_printed, rule.source.provenance) == (printed, provenance)


# IRC R1003.14 (read): net flue areas in in2, round and clay.
@pytest.mark.parametrize(
    ("table", "areas"),
    [
        ("chimney.flue_area_round", {"6": 28, "7": 38, "8": 50, "10": 78, "12": 113}),
        (
            "chimney.flue_area_clay",
            {"8x8": 42, "8.5x8.5": 49, "8x12": 67, "8.5x13": 76, "12x12": 102, "13x13": 127, "13x18": 173},
        ),
    ],
)
def test_net_flue_areas(table, areas):
    rows = load_rulebook("us").table(table).rows
    assert {key: row.one("area") / 0.0254**2 for key, row in rows.items()} == pytest.approx(areas)


# IRC Table R1003.20: cricket height as part of the width, 12/12 a half, 6/12 a quarter (read).
@pytest.mark.parametrize(("rise", "share"), [("12", 1 / 2), ("6", 1 / 4)])
def test_cricket_heights(rise, share):
    row = load_rulebook("us").table("flashing.cricket").rows[rise]
    assert row.one("share") == pytest.approx(share)
    assert row.source.provenance == "read"


# Approved Document J, Table 2 (second-hand): flue diameters in mm.
def test_uk_flue_sizes():
    rows = load_rulebook("uk").table("chimney.flue_size").rows
    assert {key: round(row.one("diameter") * 1000) for key, row in rows.items()} == {
        "open": 200,
        "closed_20_smokeless": 125,
        "closed_30": 150,
        "closed_50": 175,
    }
