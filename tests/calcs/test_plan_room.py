"""What a plan says of the room: hearth, connector, flue, air, alarms, fuel and wall protection."""

import json

import pytest

from calcs.checks import Outcome
from calcs.plan import Plan, make_plan
from calcs.rulebook import load_rulebook
from calcs.survey import Appliance, Chimney, HearthLayer, Survey
from tests.calcs.houses import INCH, finding, plan_of

TILE_ON_BOARD = (HearthLayer("ceramic tile", 0.25 * INCH), HearthLayer("cement board, light", 0.5 * INCH))
PROTECTED = {
    "appliance": {"clearance_reduction_allowed": True, "clearance_rear": 36 * INCH},
    "rear_protection": "metal_ventilated",
}


def check(plan, name):
    return next((one for one in plan.checks if one.name == name), None)


def topics(plan):
    return {one.topic for one in plan.findings}


def test_layers_that_add_up_to_less_than_the_sheet_asks_for_fail_by_what_is_missing():
    found = finding(plan_of(hearth_layers=TILE_ON_BOARD), "hearth")
    # Published resistances (read): 0.02 + 0.39 of the 0.795 ft2 h F/Btu of the sheet.
    assert found.outcome is Outcome.FAIL
    assert "add up to 0.41 ft² h °F/Btu; 0.80 ft² h °F/Btu is asked for (sheet P-1)" in found.sentence
    assert "add 0.39 ft² h °F/Btu" in found.sentence


def test_a_hearth_that_is_short_in_front_fails_by_the_length_missing():
    plan = plan_of(hearth_front=14 * INCH)
    assert finding(plan, "hearth").outcome is Outcome.FAIL
    assert "reaches 14 in in front; at least 16 in is asked for (sheet P-1): 2 in more" in (
        finding(plan, "hearth").sentence
    )
    assert finding(plan, "hearth").room == pytest.approx(-2 * INCH)


def test_a_sheet_that_asks_for_a_resistance_needs_the_layers():
    plan = plan_of(hearth_layers=())
    assert finding(plan, "hearth").outcome is Outcome.UNKNOWN
    assert any(one.startswith("Make-up of the floor protection is not known") for one in plan.unknowns)
    assert plan.verdict is Outcome.UNKNOWN


def test_a_sheet_that_asks_for_none_needs_no_layers():
    plan = plan_of(hearth_layers=(), appliance={"hearth_resistance": 0.0})
    assert finding(plan, "hearth").outcome is Outcome.PASS
    assert check(plan, "hearth.resistance") is None


def test_a_layer_by_its_own_sheet_counts_with_its_resistance():
    plan = plan_of(hearth_layers=(HearthLayer("maker's board", resistance=0.14),))
    assert check(plan, "hearth.resistance").outcome is Outcome.PASS
    assert any(step.relation == "R by its sheet" for step in plan.working["hearth"])


def test_the_rear_is_held_only_once_it_is_measured():
    assert check(plan_of("ca"), "hearth.rear") is None
    assert check(plan_of("ca", hearth_rear=0.2), "hearth.rear").outcome is Outcome.PASS
    assert check(plan_of("ca", hearth_rear=0.19), "hearth.rear").outcome is Outcome.FAIL


def test_a_thin_hearth_is_enough_only_where_it_stays_cool():
    thick, thin = 0.125, 0.012
    assert check(plan_of("uk", hearth_thickness=thick), "hearth.thickness").outcome is Outcome.PASS
    assert check(plan_of("uk", hearth_thickness=thin), "hearth.thickness").outcome is Outcome.FAIL
    cool = plan_of("uk", hearth_thickness=thin, appliance={"hearth_below_100": True})
    assert check(cool, "hearth.thickness").outcome is Outcome.PASS
    assert "thin board is allowed" in finding(cool, "hearth").sentence


def test_layers_tell_the_thickness_that_nobody_measured():
    plan = plan_of("uk", hearth_thickness=None, hearth_layers=(HearthLayer("brick", 0.13),))
    assert check(plan, "hearth.thickness").measured == pytest.approx(0.13)
    unknown = plan_of("uk", hearth_thickness=None, hearth_layers=())
    assert check(unknown, "hearth.thickness").outcome is Outcome.UNKNOWN


def test_a_connector_too_near_is_told_by_how_much():
    found = finding(plan_of(connector_clearance=16 * INCH), "connector")
    assert found.outcome is Outcome.FAIL
    assert "2 in too near combustible material; 18 in is asked for" in found.sentence
    assert found.room == pytest.approx(-2 * INCH)


@pytest.mark.parametrize(
    ("code", "key", "least"), [("us", "metal_ventilated", 12 * INCH), ("ca", "metal_ventilated", 0.225)]
)
def test_a_shield_between_pipe_and_wall_takes_something_off(code, key, least):
    plan = plan_of(code, connector_clearance=0.31, connector_protection=key)
    assert plan.limits["connector.clearance"].minimum == pytest.approx(least)
    assert finding(plan, "connector").outcome is Outcome.PASS
    assert "The shield stands at least" in finding(plan, "connector").sentence


def test_the_shield_of_a_flue_pipe_halves_the_diameters_and_says_how_far_it_reaches():
    plan = plan_of("uk", connector_protection="shield", connector_clearance=0.24)
    # Approved Document J, Diagram 19: 1.5 times the outside of 152.4 + 6 mm.
    assert plan.limits["connector.clearance"].minimum == pytest.approx(1.5 * 0.1584)
    assert (
        "The shield stands at least 12 mm off the wall and reaches 238 mm beyond the pipe on each side"
        in (finding(plan, "connector").sentence)
    )


def test_a_shield_the_book_does_not_know_is_refused_by_name():
    with pytest.raises(ValueError, match=r"^survey\.connector_protection: .*choose from shield"):
        plan_of("uk", connector_protection="metal_ventilated")


def test_length_rise_and_run_tell_the_slope():
    level = plan_of(connector_run=1.0, connector_elbows=1, connector_rise=0.5, connector_length=1.5)
    assert check(level, "connector.slope").measured == pytest.approx(0)
    assert "falls towards the chimney" in finding(level, "connector").sentence
    rising = plan_of(connector_run=1.0, connector_elbows=1, connector_rise=0.5, connector_length=1.45)
    assert check(rising, "connector.slope").outcome is Outcome.PASS
    assert any("(L − h)" in step.relation for step in rising.working["connector"])


def test_without_length_and_rise_the_slope_is_left_to_the_site():
    assert check(plan_of(connector_run=1.0), "connector.slope") is None
    assert plan_of(connector_run=1.0).limits["connector.slope"].minimum == pytest.approx(0.25 / 12)


def test_too_long_a_run_and_too_many_elbows_are_told_together():
    found = finding(plan_of(connector_run=3.0, connector_elbows=3), "connector")
    assert found.outcome is Outcome.FAIL
    assert "The connector runs" in found.sentence
    assert "3 elbows; at most 2 are allowed (UMC)" in found.sentence


def test_a_connector_not_measured_is_told_by_its_missing_measure_alone():
    assert "connector" not in topics(plan_of(connector_clearance=None))


def test_a_flue_below_the_table_fails_and_the_exemption_lets_it_pass():
    narrow = {"collar_diameter": 0.125}
    flue = {"inner_diameter": 0.125, "outer_diameter": 0.18}
    found = finding(plan_of("uk", appliance=narrow, chimney=flue), "flue size")
    assert found.outcome is Outcome.FAIL
    assert "125 mm would do for an appliance exempt in smoke control areas" in found.sentence
    exempt = plan_of("uk", appliance={**narrow, "smoke_exempt": True}, chimney=flue)
    assert finding(exempt, "flue size").outcome is Outcome.PASS
    refused = plan_of("uk", appliance={**narrow, "smoke_exempt": False}, chimney=flue)
    assert "load a larger chimney" in finding(refused, "flue size").sentence


def test_an_output_the_table_needs_and_lacks_leaves_the_flue_unknown():
    plan = plan_of("uk", appliance={"nominal_output": None})
    assert finding(plan, "flue size").outcome is Outcome.UNKNOWN
    assert any(one.startswith("Nominal output of the appliance is not known") for one in plan.unknowns)
    large = plan_of("uk", appliance={"nominal_output": 60e3})
    assert "has to size the flue" in finding(large, "flue size").sentence
    assert finding(plan_of("us", appliance={"nominal_output": None}), "flue size").outcome is Outcome.PASS


def test_pellets_are_in_no_row_and_keep_to_the_collar():
    assert finding(plan_of("uk", appliance={"fuel": "pellets"}), "flue size").outcome is Outcome.PASS


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("T250 N1 D 3 G50", "class T250 is for flue gas up to 250 °C; the appliance's is 260 °C"),
        ("T300 N1 D 3 G50", "Solid fuel asks for class T400"),
        ("T400 N1 D 3 O50", "does not withstand a soot fire"),
        ("T400 N1 D 1 G50", "Corrosion class 1 is too low"),
        ("T400 N1 D 3 G75", "asks for 75 mm to combustible material, its sheet gives 51 mm"),
    ],
)
def test_a_designation_that_does_not_suit_the_appliance_fails_by_its_part(text, says):
    found = finding(plan_of("uk", chimney={"designation": text}), "designation")
    assert found.outcome is Outcome.FAIL
    assert says in found.sentence


@pytest.mark.parametrize("text", ["T400 N1 D 3 G50", "EN 1856-1 T450 N1 D V2 L50050 G50", "T600 N1 W 3 Gxx"])
def test_a_designation_that_suits_passes_and_shows_its_parts(text):
    plan = plan_of("uk", chimney={"designation": text})
    assert finding(plan, "designation").outcome is Outcome.PASS
    assert any("withstands a soot fire" in step.says for step in plan.working["designation"])


def test_wood_in_an_open_fire_takes_the_lower_corrosion_class():
    plan = plan_of("uk", appliance={"kind": "open fire"}, chimney={"designation": "T400 N1 D 2 G50"})
    assert finding(plan, "designation").outcome is Outcome.PASS


def test_a_designation_nobody_can_read_is_unknown_and_says_what_to_do():
    found = finding(plan_of("uk", chimney={"designation": "T400 N1 G50"}), "designation")
    assert found.outcome is Outcome.UNKNOWN
    assert "condensate resistance, W or D, is missing" in found.sentence
    assert "Copy it from the chimney's plate" in found.sentence


def test_a_country_that_lists_chimneys_holds_the_flue_gas_against_that_listing():
    assert "UL 103 HT" in finding(plan_of("us"), "designation").sentence
    assert "ULC S629" in finding(plan_of("ca"), "designation").sentence
    hot = plan_of("us", appliance={"flue_gas_temperature": 560.0})
    assert finding(hot, "designation").outcome is Outcome.FAIL
    limit = plan_of("us", appliance={"flue_gas_temperature": 537.7})
    assert finding(limit, "designation").outcome is Outcome.PASS


def test_vents_as_large_as_asked_for_pass_and_smaller_ones_fail():
    # Approved Document J, Table 1: 7 kW in a leaky house, 2 kW over the free 5 at 550 mm2.
    enough, short = plan_of("uk", air_vent_area=0.0011), plan_of("uk", air_vent_area=0.001)
    assert enough.limits["air.vent_area"].minimum == pytest.approx(0.0011)
    assert finding(enough, "air").outcome is Outcome.PASS
    assert finding(short, "air").outcome is Outcome.FAIL
    assert "add 100 mm²" in finding(short, "air").sentence


def test_vents_large_enough_for_any_house_need_no_air_test():
    plan = plan_of("uk", air_permeability=None, air_vent_area=0.004)
    assert finding(plan, "air").outcome is Outcome.PASS
    assert not any("Air permeability" in one for one in plan.unknowns)


def test_vents_too_small_for_any_house_fail_without_an_air_test():
    plan = plan_of("uk", air_permeability=None, air_vent_area=0.001)
    assert finding(plan, "air").outcome is Outcome.FAIL


def test_vents_that_hang_on_the_house_are_unknown_until_it_is_tested():
    plan = plan_of("uk", air_permeability=None, air_vent_area=0.002)
    assert finding(plan, "air").outcome is Outcome.UNKNOWN
    assert "between 1100 mm² and 3850 mm²" in finding(plan, "air").sentence
    assert any("Air permeability" in one for one in plan.unknowns)
    assert "air.vent_area" not in plan.limits


def test_a_draught_stabiliser_not_known_is_asked_for_only_where_it_matters():
    unknown = {"draught_stabiliser": None}
    plan = plan_of("uk", appliance=unknown, air_vent_area=0.002)
    assert any("draught stabiliser" in one for one in plan.unknowns)
    assert finding(plan_of("uk", appliance=unknown, air_vent_area=0.01), "air").outcome is Outcome.PASS


def test_a_small_appliance_in_a_leaky_house_needs_no_vent():
    plan = plan_of("uk", appliance={"nominal_output": 5000.0}, air_vent_area=None)
    assert finding(plan, "air").outcome is Outcome.PASS
    assert "No permanent air vent is asked for" in finding(plan, "air").sentence
    assert not any("vents" in one for one in plan.unknowns)


def test_vents_that_nobody_measured_are_unknown():
    plan = plan_of("uk", air_vent_area=None)
    assert finding(plan, "air").outcome is Outcome.UNKNOWN
    assert any(one.startswith("Free area of the permanent air vents is not known") for one in plan.unknowns)


def test_an_open_fire_needs_half_of_its_flue():
    plan = plan_of("uk", appliance={"kind": "open fire"}, chimney={"inner_diameter": 0.2})
    assert plan.limits["air.vent_area"].minimum == pytest.approx(0.5 * 3.14159265 / 4 * 0.04)


def test_a_book_without_a_vent_rule_sends_to_the_instructions_or_says_nothing():
    assert "its installation instructions ask for (IRC M1701.1)." in finding(plan_of("us"), "air").sentence
    assert "air" not in topics(plan_of("ca"))


def test_alarms_are_told_in_the_words_or_figures_of_the_book():
    assert "outside each sleeping area" in finding(plan_of("us"), "alarms").sentence
    british = finding(plan_of("uk"), "alarms").sentence
    assert "1.00 m to 3.00 m" in british
    assert "300 mm from any wall" in british
    assert "150 mm below the ceiling" in british
    assert [step.result for step in plan_of("uk").working["alarms"]] == [1.0, 3.0, 0.3, 0.15]


def test_nothing_is_said_of_air_alarms_and_sweeping_before_an_appliance_is_chosen():
    plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    assert not topics(plan) & {"air", "alarms", "service"}


@pytest.mark.parametrize(
    ("code", "fuel", "says"),
    [
        (
            "us",
            "wood",
            "Sweep the flue once a year (common practice). Sweep it before that at 1/8 in of deposit",
        ),
        ("uk", "wood", "Sweep the flue every 3 months of use (common practice)"),
        ("uk", "coal", "Sweep the flue twice a year"),
        ("uk", "pellets", "keep the one in the appliance's book"),
        ("ca", "wood", "Have it inspected once a year (NFC 2.6.1.4)."),
    ],
)
def test_a_plan_tells_how_often_the_flue_is_swept_or_why_that_is_not_known(code, fuel, says):
    assert says in finding(plan_of(code, appliance={"fuel": fuel}), "service").sentence


@pytest.mark.parametrize(("wet", "outcome"), [(0.20, Outcome.PASS), (0.21, Outcome.FAIL)])
def test_wood_that_was_measured_is_held_against_its_limit(wet, outcome):
    assert finding(plan_of(fuel_moisture=wet), "fuel").outcome is outcome


def test_fuel_nobody_measured_or_that_is_no_wood_holds_nothing_up():
    assert "fuel" not in topics(plan_of())
    assert "fuel" not in topics(plan_of(appliance={"fuel": "coal"}, fuel_moisture=0.3))


def test_a_protection_that_counts_is_told_how_to_stand():
    plan = plan_of(**PROTECTED)
    sentence = finding(plan, "wall protection").sentence
    assert "at least 1 in off the wall and leave 1 in below and 1 in above open" in sentence
    # Geometry: sqrt(36^2 - 12^2) = 33.94 in, read to the sixteenth above.
    assert "34 in beyond the appliance on each side and above it" in sentence
    assert plan.limits["protection.beyond"].minimum / INCH == pytest.approx(33.94, abs=0.005)
    reach = next(step for step in plan.working["wall protection"] if step.relation)
    assert reach.result == plan.limits["protection.beyond"].minimum


def test_masonry_without_an_air_space_has_no_open_edges():
    plan = plan_of(**{**PROTECTED, "rear_protection": "masonry"})
    assert "protection.beyond" in plan.limits
    assert "protection.air_space" not in plan.limits


def test_a_protection_that_takes_nothing_off_is_told_nowhere():
    plan = plan_of(rear_protection="metal_ventilated")
    assert "wall protection" not in topics(plan)
    assert not any(name.startswith("protection.") for name in plan.limits)


def test_the_working_of_a_clearance_shows_every_side():
    plan = plan_of(**PROTECTED)
    said = [step.says for step in plan.working["clearances"]]
    assert said[0] == "To the wall behind"
    assert {"To the wall on the left", "To the wall on the right", "In front", "Above"} <= set(said)
    assert any("G2409.2" in one for one in said)


@pytest.mark.parametrize(
    ("rear", "hearth", "says"),
    [
        (
            0.30,
            None,
            "The wall behind has to be at least 75 mm thick up to 0.30 m above the appliance and 1.20 m",
        ),
        (0.05, None, "at least 200 mm thick"),
        (0.30, 0.2, "The wall behind has to be at least 75 mm thick up to 1.20 m above the hearth"),
    ],
)
def test_walls_near_the_hearth_are_solid_where_the_book_asks_for_it(rear, hearth, says):
    plan = plan_of("uk", rear_wall=rear, hearth_rear=hearth, appliance={"clearance_rear": 0.05})
    assert says in finding(plan, "hearth walls").sentence


def test_walls_far_from_the_hearth_are_told_nothing():
    assert "hearth walls" not in topics(plan_of("uk"))
    assert "hearth walls" not in topics(plan_of("uk", rear_wall=0.5, hearth_rear=0.2))


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
def test_a_plan_of_the_room_survives_json(code):
    plan = plan_of(code, fuel_moisture=0.18, chimney={"designation": "T400 N1 D 3 G50"})
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan
    assert {"clearances", "hearth", "connector", "flue size", "designation", "fuel"} <= set(plan.working)
