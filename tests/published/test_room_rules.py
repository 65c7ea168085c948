"""Air, flue sizes, designations, alarms, moisture and wall shields as published."""

import pytest

from calcs.air_supply import open_fire_vent_area, permanent_vent_area
from calcs.alarms import alarm_limits
from calcs.designation import parse_designation
from calcs.flue_size import flue_size, least_flue_row, net_flue_area, widest_flue
from calcs.moisture import moisture_limit, wet_to_dry_basis
from calcs.rulebook import load_rulebook
from calcs.servicing import inspection_level
from calcs.wall_shield import shield_limits, shield_reach

INCH = 0.0254
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


# Approved Document J, Table 1 (read), mm2: over 5 m3/(h m2) 550 for each kW above 5; 5 or under 550 a kW;
# with a draught stabiliser over 5: 300 a kW for the first 5 kW and 850 for the rest; 5 or under 850 a kW.
@pytest.mark.parametrize(
    ("kilowatts", "permeability", "stabiliser", "square_millimetres"),
    [
        (4, 7, False, 0),
        (5, 7, False, 0),
        (8, 7, False, 3 * 550),
        (8, 5, False, 8 * 550),
        (8, 3, False, 8 * 550),
        (8, 7, True, 5 * 300 + 3 * 850),
        (4, 7, True, 4 * 300),
        (8, 5, True, 8 * 850),
    ],
)
def test_adj_table_1_permanent_vents(kilowatts, permeability, stabiliser, square_millimetres):
    found = permanent_vent_area(kilowatts, UK, permeability, draught_stabiliser=stabiliser)
    assert found * 1e6 == pytest.approx(square_millimetres)


# Approved Document J, Table 1 (read): an open fire has half of its throat, or of the flue above a canopy.
@pytest.mark.parametrize("opening", ["throat", "canopy"])
def test_adj_table_1_open_fires(opening):
    assert open_fire_vent_area(0.030, UK, opening) == pytest.approx(0.015)


# The rule books of the United States and Canada hold no vent area, so that every answer is not known.
@pytest.mark.parametrize("book", [US, CA])
def test_no_vent_area_is_made_up_where_no_rule_gives_one(book):
    assert permanent_vent_area(8, book, 7) is None
    assert open_fire_vent_area(0.030, book) is None


# Approved Document J, Table 2 (second-hand): fireplace 200; closed to 20 kW smokeless or exempt 125; other
# closed to 30 kW 150; over 30 to 50 kW 175 mm.
@pytest.mark.parametrize(
    ("kind", "fuel", "kilowatts", "exempt", "millimetres"),
    [
        ("open fire", "wood", None, False, 200),
        ("radiant", "smokeless", 20, False, 125),
        ("radiant", "smokeless", 21, False, 150),
        ("radiant", "wood", 20, True, 125),
        ("jacketed", "wood", 20, False, 150),
        ("radiant", "coal", 30, False, 150),
        ("radiant", "wood", 30.1, True, 175),
        ("radiant", "coal", 50, False, 175),
    ],
)
def test_adj_table_2_least_flues(kind, fuel, kilowatts, exempt, millimetres):
    row = least_flue_row(kind, fuel, kilowatts, UK, exempt=exempt)
    assert row.one("diameter") * 1000 == pytest.approx(millimetres)


# IRC (read): the flue's area at least the collar's and at most three times it inside the house; NFPA 211
# (second-hand): twice where a side is outdoors.
def test_us_flue_against_the_collar():
    assert flue_size(US, collar_diameter=6 * INCH).limit.minimum == pytest.approx(6 * INCH)
    for exterior, times in ((False, 3), (True, 2)):
        widest = widest_flue(6 * INCH, US, exterior=exterior).maximum
        assert (widest / (6 * INCH)) ** 2 == pytest.approx(times)


# IRC R1003.14 (read): a round flue of 8 in has 50 in2 net, clay of 8 by 12 in 67 in2.
@pytest.mark.parametrize(("size", "square_inches"), [("8", 50), ("8x12", 67)])
def test_irc_r1003_14_net_areas(size, square_inches):
    assert net_flue_area(size, US) / INCH**2 == pytest.approx(square_inches)


# EN 1443 and EN 1856-1 (from memory): the parts of a designation in their order.
def test_en_1443_designation():
    found = parse_designation("EN 1443 T400 N1 D 3 G50")
    assert (found.standard, found.temperature, found.pressure_class) == ("EN 1443", 400, "N1")
    assert (found.condensate, found.corrosion, found.sootfire, found.distance_mm) == ("D", "3", "G", 50)


# EN 1856-1 (from memory): V2 and L50050 are the corrosion class and 0.50 mm of material 50.
def test_en_1856_1_designation():
    found = parse_designation("EN 1856-1 T450 N1 D V2 L50050 G70(xx)")
    assert (found.corrosion, found.liner_material) == ("V2", "50")
    assert found.liner_thickness == pytest.approx(0.0005)
    assert found.distance == pytest.approx(0.070)


# EN 1443, form of 1999 (from memory): S for soot fire, R22 for 0.22 m2K/W, C50 for 50 mm.
def test_en_1443_designation_of_1999():
    found = parse_designation("EN 1443 - T400 P1 S W 1 R22 C50")
    assert found.sootfire_resistant
    assert (found.thermal_resistance, found.distance_mm) == (pytest.approx(0.22), 50)


# Approved Document J, section 2 (read): alarm 1 to 3 m from the appliance, 300 mm from a wall on the ceiling,
# 150 mm below the ceiling on a wall.
def test_adj_alarm():
    limits = alarm_limits(UK)
    near = limits["alarm.co_distance"]
    assert (near.minimum, near.maximum) == (1, 3)
    assert limits["alarm.co_ceiling_from_wall"].minimum == pytest.approx(0.3)
    assert limits["alarm.co_wall_below_ceiling"].minimum == pytest.approx(0.15)


# Common practice (read): wood at most 20 % water on the wet basis, which a dry-basis meter shows as 25 %.
@pytest.mark.parametrize("book", [US, CA, UK])
def test_moisture_of_wood(book):
    assert moisture_limit(book).maximum == pytest.approx(0.20)
    assert wet_to_dry_basis(0.20) == pytest.approx(0.25)


# IRC Table M1306.2, notes (read): 1 in of air, open edges of 1 in. CSA B365: 21 mm off (second-hand), 450 mm
# beyond each side and 500 mm above (from memory).
def test_shields_on_walls():
    us, ca = shield_limits(US), shield_limits(CA)
    for name in ("air_space", "open_bottom", "open_top"):
        assert us[f"protection.{name}"].minimum == pytest.approx(1 * INCH)
    assert ca["protection.air_space"].minimum == pytest.approx(0.021)
    assert (ca["protection.beyond"].minimum, ca["protection.above"].minimum) == (0.45, 0.5)


# Plane geometry, a 3-4-5 triangle: 50 in unprotected, 30 in off the wall, so 40 in along it.
def test_a_shield_reaches_to_where_the_bare_wall_is_far_enough():
    assert shield_reach(50 * INCH, 30 * INCH) / INCH == pytest.approx(40)


# NFPA 211 (second-hand): level 2 on sale, level 3 for what is concealed; the deepest holds.
def test_nfpa_211_levels():
    assert inspection_level(["same_use"], US).level == 1
    assert inspection_level(["sale", "same_use"], US).level == 2
    assert inspection_level(["sale", "concealed"], US).level == 3
