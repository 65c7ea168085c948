"""Every table of the rule books as its source prints it, row by row."""

import pytest

from calcs.rulebook import load_rulebook

INCH = 0.0254

# Table of a book -> the file that rereads it, for the tables that are not read again here.
ELSEWHERE = {
    ("us", "clearance.grid"): "test_clearance_tables",
    ("us", "clearance.reduction"): "test_clearance_tables",
    ("ca", "clearance.reduction"): "test_clearance_tables",
}
HERE = {
    ("us", "chimney.flue_area_round"),
    ("us", "chimney.flue_area_clay"),
    ("us", "connector.thickness"),
    ("us", "flashing.cricket"),
    ("us", "inspection.triggers"),
    ("ca", "connector.thickness"),
    ("uk", "chimney.flue_size"),
    ("uk", "clearance.hearth_wall"),
    ("uk", "connector.shields"),
}


def _rows(code, table):
    return load_rulebook(code).table(table).rows


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
def test_irc_r1003_14_net_flue_areas(table, areas):
    rows = _rows("us", table)
    assert {key: row.one("area") / INCH**2 for key, row in rows.items()} == pytest.approx(areas)
    assert {row.source.provenance for row in rows.values()} == {"read"}


# IRC Table R1003.20: cricket height as part of the width, 12/12 a half, 6/12 a quarter (read); 8/12 a third,
# 4/12 a sixth and 3/12 an eighth (from memory).
@pytest.mark.parametrize(
    ("rise", "share", "provenance"),
    [
        ("12", 1 / 2, "read"),
        ("8", 1 / 3, "memory"),
        ("6", 1 / 4, "read"),
        ("4", 1 / 6, "memory"),
        ("3", 1 / 8, "memory"),
    ],
)
def test_irc_r1003_20_cricket_heights(rise, share, provenance):
    row = _rows("us", "flashing.cricket")[rise]
    assert row.one("share") == pytest.approx(share)
    assert row.source.provenance == provenance


# IRC M1803.2 (from memory): under 6 in 0.019 in, 6 to 10 in 0.024 in, over 10 to 16 in 0.029 in. CSA B365
# (second-hand): 24 gauge, 0.61 mm, for 6 to 8 in.
@pytest.mark.parametrize(
    ("code", "key", "up_to", "thickness", "provenance"),
    [
        ("us", "under_6", 5.999 * INCH, 0.019 * INCH, "memory"),
        ("us", "6_to_10", 10 * INCH, 0.024 * INCH, "memory"),
        ("us", "over_10", 16 * INCH, 0.029 * INCH, "memory"),
        ("ca", "6_to_8", 8 * INCH, 0.00061, "second-hand"),
    ],
)
def test_connector_metal(code, key, up_to, thickness, provenance):
    row = _rows(code, "connector.thickness")[key]
    assert (row.one("up_to"), row.one("thickness")) == pytest.approx((up_to, thickness))
    assert row.source.provenance == provenance


# NFPA 211 (second-hand): level 1 same appliance and use; level 2 change of appliance or fuel, sale or
# transfer, fire or event; level 3 concealed parts.
def test_nfpa_211_levels_of_inspection():
    assert {key: row.one("level") for key, row in _rows("us", "inspection.triggers").items()} == {
        "same_use": 1,
        "new_appliance": 2,
        "new_fuel": 2,
        "sale": 2,
        "event": 2,
        "concealed": 3,
    }


# Approved Document J, Table 2 (second-hand): flue diameters in mm and outputs in kW.
def test_adj_table_2_flue_sizes():
    rows = _rows("uk", "chimney.flue_size")
    assert {key: (row.one("output_up_to"), row.one("diameter")) for key, row in rows.items()} == {
        "open": (None, 0.200),
        "closed_20_smokeless": (20e3, 0.125),
        "closed_30": (30e3, 0.150),
        "closed_50": (50e3, 0.175),
    }
    assert {row.source.provenance for row in rows.values()} == {"second-hand"}


# Approved Document J, walls beside a hearth (from memory): appliance up to 50 mm off 200 mm thick, over 50 to
# 300 mm 75 mm, both to 300 mm above the appliance and 1.2 m above the hearth; hearth up to 150 mm off 75 mm.
def test_adj_walls_beside_a_hearth():
    rows = _rows("uk", "clearance.hearth_wall")
    names = ("up_to", "thickness", "above_appliance", "above_hearth")
    assert {key: tuple(row.one(name) for name in names) for key, row in rows.items()} == {
        "appliance_close": (0.05, 0.2, 0.3, 1.2),
        "appliance_near": (0.3, 0.075, 0.3, 1.2),
        "hearth_near": (0.15, 0.075, None, 1.2),
    }
    assert {row.source.provenance for row in rows.values()} == {"memory"}


# Approved Document J, Diagram 19 (second-hand): the shield stands 12 mm off the wall.
def test_adj_diagram_19_shield_of_a_flue_pipe():
    assert _rows("uk", "connector.shields")["shield"].one("air_space") == pytest.approx(0.012)


# Every table of a book is read again in this file or the one named for it.
@pytest.mark.parametrize("code", ["us", "ca", "uk"])
def test_no_table_of_a_book_is_left_out(code):
    tables = {(code, key) for key in load_rulebook(code).tables}
    assert tables <= HERE | set(ELSEWHERE)


# IRC M1306.2 and notes (read, the figures from memory), IRC R314, R315 and M1803 (read), NFPA 211
# (second-hand), IRC M1701.1 and R602.7, UL 1777, CSA B365, NBC and EN 1443 (from memory): rules in words and
# their provenance.
@pytest.mark.parametrize(
    ("code", "key", "words", "provenance"),
    [
        ("us", "clearance.spacers", "none stands opposite the appliance", "read"),
        ("us", "clearance.by_instructions", "only where its instructions allow", "read"),
        ("us", "clearance.shield_reach", "no unprotected combustible material is nearer", "memory"),
        ("us", "connector.size", "smaller than the appliance's collar", "read"),
        ("us", "connector.passage", "floor, a ceiling, an attic or a closet", "read"),
        ("us", "chimney.fireblock", "each floor and ceiling", "read"),
        ("us", "alarm.co", "outside each sleeping area", "read"),
        ("us", "alarm.smoke", "on each storey", "read"),
        ("us", "air_supply.by_instructions", "its installation instructions ask for", "memory"),
        ("us", "inspection.level.1", "Readily accessible parts", "second-hand"),
        ("us", "inspection.level.2", "on sale or transfer", "second-hand"),
        ("us", "inspection.level.3", "Concealed parts", "second-hand"),
        ("us", "vault.vent_path", "from eaves to ridge", "memory"),
        ("us", "wall.header", "the code's table of header spans", "memory"),
        ("us", "liner.inspection", "level 2", "second-hand"),
        ("us", "liner.listing", "listed to UL 1777", "memory"),
        ("ca", "wall.header", "span tables", "memory"),
        ("ca", "liner.inspection", "before another appliance is connected", "memory"),
        ("ca", "clearance.spacers", "none stands opposite the appliance", "memory"),
        ("ca", "connector.passage", "floor, a ceiling, an attic or a closet", "memory"),
        ("ca", "alarm.co", "inside or outside each bedroom", "memory"),
        ("uk", "designation.sootfire", "class G", "memory"),
        ("uk", "wall.header", "designed for what it carries", "memory"),
        ("uk", "liner.inspection", "before it serves another appliance", "memory"),
        ("uk", "notice.plate", "the designation may be added", "read"),
        ("uk", "sweep.pellets", "Nothing that was read gives an interval for pellets", "memory"),
    ],
)
def test_rules_in_words(code, key, words, provenance):
    rule = load_rulebook(code).find(key)
    assert words in rule.as_printed
    assert (rule.value, rule.source.provenance) == (None, provenance)
