"""The flue of a plan: its segments, its outputs, and what stands in for what nobody gave."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.firing import firings_of
from calcs.flue_run import segments_of
from calcs.fluegas import wood_flue_gas
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.section_plan import ELBOW_PAIR, Offset, PlacedSection, SectionPlan
from calcs.survey import Appliance, Chimney, Obstacle, Survey
from tests.calcs.houses import APPLIANCE, CHIMNEY, SURVEY, finding, plan_of

SHEET = {"flue_gas_mass_flow": 0.0085, "nominal_output": 9000.0}
LEAST = {
    "minimum_output": 4000.0,
    "minimum_gas_temperature": 190.0,
    "minimum_gas_mass_flow": 0.006,
    "minimum_output_draft": 9.0,
}
INSULATED = {"thermal_resistance": 0.4, "roughness": 0.001}
KNOWN = {"room_temperature": 20.0, "attic_temperature": 2.0, "fuel_moisture": 0.18, "air_vent_area": 0.006}


def solved(code="us", *, appliance=None, chimney=None, **survey) -> Plan:
    return plan_of(
        code,
        appliance={**SHEET, **(appliance or {})},
        chimney={**INSULATED, **(chimney or {})},
        **survey,
    )


def available(plan: Plan) -> float:
    assert plan.flue is not None
    return plan.flue.nominal.draft.available_draft


def test_the_segments_reach_from_collar_to_outlet():
    plan = solved()
    segments = plan.flue.nominal.draft.segments
    assert [one.name for one in segments] == ["connector", "room", "attic", "outside"]
    assert sum(one.height for one in segments) == pytest.approx(plan.height_total)
    assert [one.surrounding_temperature for one in segments] == [20.0, 20.0, 0.0, 0.0]
    assert [one.external_coefficient for one in segments] == [8.0, 8.0, 8.0, 23.0]
    assert segments[-1].zeta == 1.5


def test_a_connector_with_run_and_elbows_is_longer_and_resists():
    straight, bent = solved(), solved(connector_run=0.6, connector_elbows=2)
    connector = bent.flue.nominal.draft.segments[0]
    assert connector.length == pytest.approx(connector.height + 0.6)
    assert connector.zeta == pytest.approx(2.4)
    assert available(bent) < available(straight)


def test_a_measured_connector_length_goes_before_rise_and_run():
    connector = solved(connector_length=3.0, connector_run=0.6).flue.nominal.draft.segments[0]
    assert connector.length == 3.0


@pytest.mark.parametrize("angle", [15.0, 30.0])
def test_an_elbow_pair_lengthens_and_slows_the_segment_it_stands_in(angle):
    survey, appliance = Survey(**SURVEY), Appliance(**APPLIANCE)
    chimney = Chimney(**{**CHIMNEY, **INSULATED})
    piece = PlacedSection("elbows", 0.5, 0.5, 0.6, 1.1, ELBOW_PAIR)
    stack = SectionPlan(True, "", 3.0, (piece,), offset=Offset(angle, 0.3, 0.5, 0.2))
    plain = segments_of(survey, appliance, chimney, outlet=5.5)
    bent = segments_of(survey, appliance, chimney, outlet=5.5, stack=stack)
    changed = [one.name for one, other in zip(bent, plain, strict=True) if one != other]
    assert changed == ["attic"]
    assert bent[2].length > plain[2].length
    assert bent[2].height == plain[2].height
    assert bent[2].zeta == pytest.approx({15.0: 0.3, 30.0: 0.6}[angle])


def test_the_mass_flow_follows_from_output_efficiency_and_carbon_dioxide():
    sheet = Appliance(flue_gas_temperature=260.0, nominal_output=9000.0, efficiency=0.75, flue_gas_co2=0.1)
    (nominal,) = firings_of(Survey(fuel_moisture=0.2), sheet)
    assert nominal.mass_flow == pytest.approx(wood_flue_gas(0.2, 10.0).mass_flow(9000.0, 0.75))
    assert nominal.mass_flow_from == "output"


def test_the_makers_mass_flow_goes_before_the_reckoned_one():
    sheet = Appliance(
        flue_gas_temperature=260.0, nominal_output=9000.0, efficiency=0.75, flue_gas_mass_flow=0.01
    )
    (nominal,) = firings_of(Survey(), sheet)
    assert (nominal.mass_flow, nominal.mass_flow_from) == (0.01, "sheet")


def test_a_least_output_without_figures_is_estimated_and_says_so():
    nominal, least = firings_of(
        Survey(),
        Appliance(
            flue_gas_temperature=240.0,
            nominal_output=9000.0,
            flue_gas_mass_flow=0.009,
            minimum_output=3000.0,
        ),
    )
    assert (nominal.estimated, least.estimated) == (False, True)
    assert least.gas_temperature == pytest.approx(160.0)
    assert least.mass_flow == pytest.approx(0.003)


def test_figures_of_the_least_output_go_before_an_estimate():
    _, least = firings_of(Survey(), Appliance(flue_gas_temperature=240.0, **SHEET, **LEAST))
    assert (least.mass_flow, least.gas_temperature, least.estimated) == (0.006, 190.0, False)


def test_a_plan_without_mass_flow_keeps_its_theoretical_draft_and_says_what_to_add():
    plan = plan_of(chimney=INSULATED)
    told = finding(plan, "draft")
    assert plan.flue is None
    assert told.outcome is Outcome.PASS
    assert "mass flow of the flue gas, or nominal output and efficiency" in told.sentence


def test_a_plan_without_insulation_says_what_to_add():
    told = finding(plan_of(appliance=SHEET), "draft")
    assert "add: thermal resistance of the chimney." in told.sentence


def test_what_nobody_gave_is_named_and_what_everybody_gave_is_not():
    plan = solved()
    assert set(plan.flue.taken) == {
        "survey.room_temperature",
        "survey.attic_temperature",
        "survey.fuel_moisture",
        "appliance.flue_gas_co2",
        *(() if SURVEY.get("air_vent_area") else ("survey.air_vent_area",)),
    }
    assert "room temperature" in finding(plan, "draft").sentence
    full = solved(appliance={"flue_gas_co2": 0.09}, **KNOWN)
    assert full.flue.taken == ()
    assert "usual figures" not in finding(full, "draft").sentence


def test_room_left_is_what_is_available_less_what_appliance_and_air_need():
    plan = solved(**KNOWN)
    told = finding(plan, "draft")
    assert told.room == pytest.approx(available(plan) - 12.0 - 3.0)
    assert told.outcome is Outcome.PASS


@pytest.mark.parametrize(("off", "outcome"), [(0.0, Outcome.PASS), (0.01, Outcome.FAIL)])
def test_exactly_enough_draft_passes_and_a_hundredth_of_a_pascal_less_fails(off, outcome):
    least = available(solved(**KNOWN)) - 3.0 + off
    told = finding(solved(appliance={"least_draft": least}, **KNOWN), "draft")
    assert told.outcome is outcome
    assert ("short" in told.sentence) == (outcome is Outcome.FAIL)


def test_the_least_output_is_held_against_its_own_draft():
    plan = solved(appliance=LEAST, **KNOWN)
    told = finding(plan, "draft at least output")
    assert told.room == pytest.approx(plan.flue.least.draft.available_draft - 9.0 - 3.0)


def test_a_least_output_without_its_draft_is_not_judged_and_says_what_to_add():
    plan = solved(appliance={**LEAST, "minimum_output_draft": None})
    assert not [one for one in plan.findings if one.topic == "draft at least output"]
    assert "add the draft needed at the least output" in finding(plan, "draft").sentence


def test_an_appliance_whose_need_is_not_known_is_no_pass():
    told = finding(solved(appliance={"least_draft": None}), "draft")
    assert told.outcome is Outcome.UNKNOWN


def test_a_cold_wall_at_the_outlet_fails_and_a_warm_one_passes():
    warm = finding(solved(appliance=LEAST, **KNOWN), "flue temperature")
    assert warm.outcome is Outcome.PASS
    bare = {"thermal_resistance": 0.02}
    cold = finding(solved(appliance=LEAST, chimney=bare, outside_temperature=-25.0), "flue temperature")
    assert cold.outcome is Outcome.FAIL
    assert "wet" in cold.sentence


@pytest.mark.parametrize(("code", "outcome"), [("us", "pass"), ("ca", "pass"), ("uk", "fail")])
def test_a_flue_wet_only_when_burnt_low_fails_where_a_rule_asks_and_is_told_elsewhere(code, outcome):
    plan = solved(code, appliance=LEAST, chimney={"thermal_resistance": 0.15}, outside_temperature=-15.0)
    low, full = plan.flue.least, plan.flue.nominal
    assert low.warm.wall_temperature_outlet < low.dew_point
    assert full.warm.wall_temperature_outlet > full.dew_point
    told = finding(plan, "flue temperature")
    assert told.outcome == outcome
    assert "wet" in told.sentence


def test_an_estimate_of_the_least_output_fails_no_plan_and_asks_for_figures():
    bare = {"thermal_resistance": 0.15}
    plan = solved(appliance={"minimum_output": 3000.0}, chimney=bare, outside_temperature=-10.0)
    told = finding(plan, "flue temperature")
    assert plan.flue.least.warm.wall_temperature_outlet < plan.flue.least.dew_point
    assert told.outcome is Outcome.PASS
    assert "get wet" in told.sentence
    assert "add the flue gas temperature at the least output" in told.sentence


def test_a_chimney_built_for_condensate_only_has_to_stay_free_of_ice():
    bare = {"thermal_resistance": 0.02, "designation": "T400 N1 W V2 L50050 G50"}
    told = finding(solved(appliance=LEAST, chimney=bare, outside_temperature=-5.0), "flue temperature")
    assert told.outcome is Outcome.PASS
    assert "ice" in told.sentence


def test_coal_is_not_judged_by_the_dew_point_of_water():
    plan = solved(appliance={"fuel": "coal"})
    assert plan.flue is not None
    assert not [one for one in plan.findings if one.topic == "flue temperature"]


def test_a_barn_over_the_outlet_lets_the_wind_press():
    barn = (Obstacle("barn", 9.0, 6.0, "neighbour"),)
    calm = solved(obstacles=())
    inland = solved(obstacles=barn, exposure="inland")
    unknown = solved(obstacles=barn)
    assert available(calm) - available(inland) == pytest.approx(25.0)
    assert available(calm) - available(unknown) == pytest.approx(40.0)
    assert "survey.exposure" in unknown.flue.taken
    assert "wind" in finding(inland, "draft").sentence


def test_a_figure_the_relations_do_not_hold_for_is_named_and_nothing_passes():
    told = finding(solved(appliance={"flue_gas_co2": 0.3}), "draft")
    assert told.outcome is Outcome.UNKNOWN
    assert "carbon dioxide in the flue gas: 30 %" in told.sentence
    rough = finding(solved(chimney={"roughness": 0.02}), "draft")
    assert "roughness of the flue" in rough.sentence


def test_the_working_ends_in_the_room_the_finding_tells():
    plan = solved(appliance=LEAST)
    for topic in ("draft", "draft at least output"):
        assert plan.working[topic][-1].result == pytest.approx(finding(plan, topic).room)
    assert plan.working["flue temperature"][-1].symbol == "t_p"


def test_a_plan_with_its_flue_comes_back_from_storage_as_it_was():
    plan = solved(appliance=LEAST)
    assert Plan.from_dict(plan.to_dict()) == plan
    old = {key: value for key, value in plan.to_dict().items() if key != "flue"}
    assert Plan.from_dict(old).flue is None


@given(st.floats(-25, 25), st.floats(0.5, 15))
def test_a_warmer_day_leaves_less(outside, degrees):
    assert available(solved(outside_temperature=outside + degrees)) < available(
        solved(outside_temperature=outside)
    )


@given(st.floats(0, 2500), st.floats(100, 1000))
def test_a_higher_site_leaves_less(altitude, metres):
    assert available(solved(altitude=altitude + metres)) < available(solved(altitude=altitude))


@given(st.floats(0.05, 0.8), st.floats(0.05, 0.5))
def test_better_insulation_leaves_more_and_a_warmer_wall(resistance, more):
    plain, better = (solved(chimney={"thermal_resistance": one}) for one in (resistance, resistance + more))
    assert available(better) > available(plain)
    assert better.flue.nominal.warm.wall_temperature_outlet > plain.flue.nominal.warm.wall_temperature_outlet


def test_levels_that_are_not_known_give_no_segments():
    survey = Survey(**{**SURVEY, "attic_height": None})
    appliance, chimney = Appliance(**APPLIANCE), Chimney(**{**CHIMNEY, **INSULATED})
    assert levels_of(survey, appliance, chimney).roof is None
    assert segments_of(survey, appliance, chimney, outlet=6.0) is None
