"""The plan as a whole."""

import json
import time
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.plan import Plan, make_plan
from calcs.rulebook import load_rulebook
from calcs.survey import Appliance, Chimney, ChimneySection, Obstacle, Survey
from tests.calcs.houses import APPLIANCE, CHIMNEY, FOOT, INCH, SURVEY, finding, plan_of

RULE_BOOKS = ("us", "ca", "uk")


def _inches(metres):
    return round(metres / INCH, 6)


def test_the_box_an_inch_off_centre_may_stay():
    plan = plan_of()
    assert _inches(plan.bay_clear) == 22.5
    assert _inches(plan.opening) == 14
    assert _inches(plan.limits["support.plumb_offset"].maximum) == 4.25
    assert finding(plan, "position").sentence == (
        "The flue lands 1 in off the bay's centre; the 14 in box has 4 1/4 in to spare each side: "
        "leave the appliance where it is."
    )
    assert finding(plan, "position").outcome is Outcome.PASS
    assert _inches(finding(plan, "position").room) == 3.25


def test_two_headers_and_two_blocks_frame_the_opening():
    assert [(cut.name, cut.count, _inches(cut.length)) for cut in plan_of().cut_list] == [
        ("header", 2, 22.5),
        ("block", 2, 14.0),
    ]


def test_it_says_how_far_and_which_way_to_move():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH)
    assert finding(plan, "position").outcome is Outcome.FAIL
    assert "Move the appliance 2 1/2 in to the left" in finding(plan, "position").sentence
    assert _inches(plan.nearest.best.move) == -2.5


def test_moving_as_told_lands_the_box_in_the_bay():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH)
    moved = plan_of(wall_to_flue_centre=plan.nearest.best.centre)
    assert finding(moved, "position").outcome is Outcome.PASS


def test_members_side_to_side_move_the_appliance_forward():
    plan = plan_of(member_direction="side to side", wall_to_flue_centre=41.75 * INCH)
    sentence = finding(plan, "position").sentence
    # The rear clearance leaves 2 in towards the wall, so back is not open.
    assert "forward, away from the wall behind it" in sentence
    assert "back, towards" not in sentence


def test_a_move_never_costs_a_clearance():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH, left_wall=16 * INCH)
    assert plan.nearest.towards_wall is None
    assert "to the right" in finding(plan, "position").sentence


def test_walls_too_close_for_both_clearances_are_named():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH, left_wall=10 * INCH, right_wall=10 * INCH)
    assert plan.nearest is None
    assert "Wherever it stands, the appliance loses a clearance" in finding(plan, "position").sentence


def test_a_box_wider_than_the_bay_never_cuts_a_truss():
    plan = plan_of(member_spacing=12 * INCH, member_kind="truss")
    assert finding(plan, "position").outcome is Outcome.FAIL
    assert "Do not cut a member" in finding(plan, "position").sentence
    assert plan.cut_list == ()
    assert "support.plumb_offset" not in plan.limits


def test_a_flue_before_the_first_member_is_not_taken_for_a_bay():
    plan = plan_of(wall_to_flue_centre=12 * INCH)
    assert plan.bay_fit is None
    assert finding(plan, "position").outcome is Outcome.FAIL
    assert "before the first member" in finding(plan, "position").sentence


def test_a_shield_that_does_not_fit_is_never_cut_down():
    plan = plan_of(attic_height=10.5 * INCH)
    assert finding(plan, "attic shield").sentence == (
        "The 15 in shield does not fit: the roof leaves 7 in on the low side. "
        "Frame a full-height enclosure; never cut the shield down."
    )
    assert plan.attic_protection == "enclosure"
    assert (_inches(plan.shield.height_low), _inches(plan.shield.height_high)) == (7, 14)
    assert sum(panel.count for panel in plan.enclosure) == 4
    names = [item.name for item in plan.load_list]
    assert "attic insulation shield" not in names
    assert "plywood, 1/2 in" in names


def test_a_shield_that_fits_is_loaded_and_nothing_is_framed():
    plan = plan_of()
    assert plan.attic_protection == "shield"
    assert plan.enclosure == ()
    assert "attic insulation shield" in [item.name for item in plan.load_list]


def test_a_roof_that_meets_the_ceiling_within_the_opening_is_refused():
    plan = plan_of(attic_height=2 * INCH)
    assert plan.attic_protection == "unknown"
    assert finding(plan, "attic shield").outcome is Outcome.FAIL
    assert "Move the flue up the slope" in finding(plan, "attic shield").sentence


def test_a_shield_below_the_insulation_fails():
    plan = plan_of(insulation_depth=20 * INCH)
    assert finding(plan, "insulation").outcome is Outcome.FAIL
    # Framing 5 1/2 in deep, shield 15 in on top of it, 20 in of insulation: 1/2 in above it.
    assert _inches(finding(plan, "insulation").room) == -1.5


def test_the_sections_reach_the_required_outlet():
    plan = plan_of()
    # Ridge 7 ft away under 6/12: 3 ft 6 in up, 2 ft over it, above where the flue's centre passes the roof.
    # Deck and 10 mm of shingles, square to the slope, stand 1.118 times as high in the plumb line.
    roof = (96 + 0.5 + 5.5 + 48) * INCH + (0.5 * INCH + 0.010) * 1.1180339887
    assert plan.outlet_required == pytest.approx(roof + (42 + 24) * INCH)
    assert plan.sections.required == pytest.approx(plan.outlet_required - 92 * INCH)
    assert plan.outlet == pytest.approx(92 * INCH + plan.sections.total)
    assert plan.outlet >= plan.outlet_required
    assert plan.height_total == pytest.approx(plan.outlet - 30 * INCH)


def test_no_joint_lies_in_the_ceiling_or_the_roof():
    plan = plan_of()
    (ceiling, roof) = plan.sections.forbidden_zones
    assert _inches(ceiling[0]) == 4
    assert _inches(ceiling[1]) == 10
    for joint in plan.sections.joints:
        assert not ceiling[0] < joint < ceiling[1]
        assert not roof[0] < joint < roof[1]


def test_a_chimney_taller_than_its_support_carries_fails():
    plan = plan_of(chimney={"supported_height": 8 * FOOT})
    assert finding(plan, "support").outcome is Outcome.FAIL
    assert plan.sections.pieces


def test_a_tall_outlet_loads_a_brace():
    assert next(item for item in plan_of().load_list if item.name == "brace kit").quantity == 1
    assert "brace kit" not in [item.name for item in plan_of(ridge_distance=0.5 * FOOT).load_list]


def test_a_flue_smaller_than_the_collar_fails():
    plan = plan_of(chimney={"inner_diameter": 5 * INCH})
    assert finding(plan, "flue size").outcome is Outcome.FAIL
    assert next(check for check in plan.checks if check.name == "flue.size").outcome is Outcome.FAIL


def test_a_flue_far_wider_than_the_collar_fails_where_the_rule_book_says_so():
    wide = {"inner_diameter": 11 * INCH, "outer_diameter": 14 * INCH}
    assert finding(plan_of(chimney=wide), "flue size").outcome is Outcome.FAIL
    assert finding(plan_of("uk", chimney=wide), "flue size").outcome is Outcome.PASS


def test_the_outlet_rises_until_the_flue_has_the_least_height_the_rule_book_asks_for():
    low = plan_of("uk")
    # Approved Document J: 4.5 m from the collar, 30 in above the floor.
    assert low.termination.governed_by == "flue height"
    assert low.outlet_required - 30 * INCH == pytest.approx(4.5)
    assert finding(low, "flue height").outcome is Outcome.PASS
    assert plan_of("uk", attic_height=2.5).termination.governed_by != "flue height"
    assert finding(plan_of("uk", attic_height=2.5), "flue height").outcome is Outcome.PASS
    assert "flue height" not in {one.topic for one in plan_of("us").findings}


def test_an_enclosure_answers_the_shield_that_does_not_fit():
    plan = plan_of(attic_height=10.5 * INCH)
    assert finding(plan, "attic shield").outcome is Outcome.FAIL
    assert finding(plan, "attic shield").answered_by == "enclosure"
    assert plan.verdict is Outcome.PASS


def test_the_verdict_is_the_worst_of_what_is_not_answered():
    assert plan_of().verdict is Outcome.PASS
    assert plan_of(attic_height=2 * INCH).verdict is Outcome.FAIL
    assert plan_of(rear_wall=11 * INCH).verdict is Outcome.FAIL
    assert plan_of(attic_height=None).verdict is Outcome.UNKNOWN


def test_a_draft_below_what_the_appliance_needs_fails():
    plan = plan_of(appliance={"least_draft": 60.0})
    assert finding(plan, "draft").outcome is Outcome.FAIL
    assert plan.limits["draft.measured"].minimum == 60


def test_thin_air_draws_less():
    assert plan_of(altitude=2500.0).theoretical_draft < plan_of(altitude=0.0).theoretical_draft


def test_a_truss_is_never_cut():
    fits, blocked = plan_of(member_kind="truss"), plan_of(member_kind="truss", member_spacing=12 * INCH)
    assert finding(fits, "truss").outcome is Outcome.PASS
    assert finding(blocked, "truss").outcome is Outcome.FAIL
    assert "not cut" in finding(blocked, "truss").sentence


def test_wall_protection_counts_only_where_the_sheet_allows_it():
    listed = {"clearance_rear": 36 * INCH}
    refused = plan_of(rear_protection="metal_ventilated", appliance=listed)
    allowed = plan_of(
        rear_protection="metal_ventilated", appliance={**listed, "clearance_reduction_allowed": True}
    )
    assert _inches(refused.limits["appliance.clearance.rear"].minimum) == 36
    assert _inches(allowed.limits["appliance.clearance.rear"].minimum) == 12


def test_an_unlisted_appliance_takes_the_rule_books_clearance():
    plan = plan_of(appliance={"listed": False})
    assert _inches(plan.limits["appliance.clearance.rear"].minimum) == 36
    assert next(c for c in plan.checks if c.name == "appliance.clearance.rear").outcome is Outcome.FAIL


def test_a_missing_chimney_clearance_gives_no_limit_and_no_opening():
    plan = plan_of(chimney={"clearance": None})
    assert "chimney.clearance" not in plan.limits
    assert "enclosure.clearance" not in plan.limits
    assert plan.opening is None
    assert any("Clearance of the chimney" in sentence for sentence in plan.unknowns)


def test_a_missing_attic_height_says_to_measure_it():
    plan = plan_of(attic_height=None)
    assert plan.sections is None
    assert finding(plan, "sections").outcome is Outcome.UNKNOWN
    assert any(
        sentence.startswith("Attic height at the flue centre is not known: measure it to")
        and "choose sections" in sentence
        for sentence in plan.unknowns
    )


def test_every_missing_input_is_named_once():
    plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    assert len(plan.unknowns) == len(set(plan.unknowns))
    assert all(one.outcome is Outcome.UNKNOWN for one in plan.findings)
    assert not any(check.outcome is Outcome.PASS for check in plan.checks)


def test_a_complete_survey_leaves_nothing_unknown():
    plan = plan_of()
    assert plan.unknowns == ()
    assert not any(one.outcome is Outcome.UNKNOWN for one in (*plan.findings, *plan.checks))


def test_the_load_list_is_complete():
    names = " / ".join(item.name for item in plan_of().load_list)
    for part in (
        "ceiling support", "wood screws", "2x6 lumber", "framing nails", "attic insulation shield",
        "chimney section", "brace kit", "flashing for slopes up to 6/12", "storm collar", "cap",
        "roofing nails", "roofing sealant", "connector pipe", "connector adapter", "sheet-metal screws",
    ):  # fmt: skip
        assert part in names


def test_the_load_list_counts_the_sections_of_the_stack():
    plan = plan_of()
    loaded = {
        item.name.removeprefix("chimney section "): item.quantity
        for item in plan.load_list
        if item.name.startswith("chimney section")
    }
    assert loaded == plan.sections.counts()


def test_sentences_follow_the_units_asked_for():
    assert "356 mm" in finding(plan_of(system="metric"), "position").sentence
    assert "14 in" in finding(plan_of("uk", system="imperial"), "position").sentence
    with pytest.raises(ValueError, match=r"^system:"):
        plan_of(system="cubits")


CONTRACT = {
    "appliance.clearance.rear", "appliance.clearance.left", "appliance.clearance.right",
    "appliance.clearance.front", "appliance.clearance.above", "hearth.front", "hearth.side",
    "hearth.resistance", "flue.size", "support.height",
    "support.plumb_offset", "framing.bay_clear", "framing.opening", "support.projection",
    "support.screws_per_side", "chimney.clearance", "shield.above_insulation", "enclosure.clearance",
    "roof.opening.across", "roof.opening.along", "flashing.nail_spacing", "flashing.nail_edge",
    "flashing.upper_cover", "termination.above_penetration", "termination.above_radius",
    "termination.unbraced", "connector.clearance", "connector.slope", "connector.run", "connector.elbows",
    "connector.screws_per_joint", "connector.overlap", "draft.measured", "fuel.moisture", "sweep.deposit",
    "service.draft", "connector.thickness",
}  # fmt: skip


def test_a_complete_plan_has_every_limit_of_a_stage():
    assert set(plan_of().limits) == CONTRACT
    assert set(plan_of("ca").limits) - CONTRACT == {
        "hearth.rear", "connector.length", "connector.unsupported_run",
    }  # fmt: skip
    assert set(plan_of("uk").limits) - CONTRACT == {
        "alarm.co_distance", "alarm.co_ceiling_from_wall", "alarm.co_wall_below_ceiling", "hearth.width",
        "hearth.depth", "hearth.thickness", "flue.height", "air.vent_area",
    }  # fmt: skip


@pytest.mark.parametrize("code", RULE_BOOKS)
def test_every_limit_names_its_source(code):
    for limit in plan_of(code).limits.values():
        assert limit.source.reference
        assert limit.minimum is not None or limit.maximum is not None


@pytest.mark.parametrize("code", RULE_BOOKS)
@pytest.mark.parametrize("attic_height", [None, 10.5 * INCH, 48 * INCH])
def test_a_plan_survives_json(code, attic_height):
    plan = plan_of(code, attic_height=attic_height, obstacles=(Obstacle("dormer", 2.0, 1.0),))
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


def test_the_same_inputs_give_the_same_plan():
    assert json.dumps(plan_of().to_dict()) == json.dumps(plan_of().to_dict())


def test_a_plan_of_another_schema_is_refused():
    with pytest.raises(ValueError, match=r"^schema:"):
        Plan.from_dict({**plan_of().to_dict(), "schema": 99})


def test_a_full_plan_takes_less_than_five_milliseconds():
    plan_of()
    best = min(_seconds() for _ in range(20))
    assert best < 0.005


def _seconds():
    start = time.perf_counter()
    plan_of()
    return time.perf_counter() - start


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"attic_height": -0.1}, "survey.attic_height"),
        ({"attic_height": float("nan")}, "survey.attic_height"),
        ({"member_spacing": 0.0}, "survey.member_spacing"),
        ({"member_thickness": 0.7}, "survey.member_thickness"),
        ({"roof_rise": 30.0}, "survey.roof_rise"),
        ({"roof_shape": "dome"}, "survey.roof_shape"),
        ({"rear_protection": "hope"}, "survey.rear_protection"),
        ({"protected_sides": "front"}, "survey.protected_sides"),
        ({"roof_shape": "flat", "roof_rise": 3.0}, "survey.roof_rise"),
        ({"covering_thickness": -0.01}, "survey.covering_thickness"),
        ({"obstacles": (Obstacle("hatch", 1.0, 1.0, "door"),)}, r"survey.obstacles\[0\].kind"),
        ({"appliance": {"collar_height": 2.5}}, "appliance.collar_height"),
        ({"framing_stock": "3x7"}, "survey.framing_stock"),
        ({"altitude": -1000.0}, "survey.altitude"),
        ({"obstacles": (Obstacle("wall", -1.0, 1.0),)}, r"survey.obstacles\[0\].distance"),
        ({"appliance": {"collar_diameter": 0.0}}, "appliance.collar_diameter"),
        ({"appliance": {"fuel": "straw"}}, "appliance.fuel"),
        ({"chimney": {"outer_diameter": 0.1}}, "chimney.outer_diameter"),
        (
            {"chimney": {"sections": (ChimneySection("x", 0.3, 0.0),)}},
            r"chimney.sections\[0\].effective_length",
        ),
    ],
)
def test_an_input_that_cannot_be_is_named(changes, name):
    with pytest.raises(ValueError, match=rf"^{name}:"):
        plan_of(**changes)


def _varied(base, record):
    """Each input as it is, missing, or scaled; choices and texts stay."""
    options = {}
    for field in fields(record):
        value = base.get(field.name)
        if isinstance(value, float):
            options[field.name] = st.sampled_from([value, None, value * 0.3, value * 1.9])
        elif isinstance(value, int | bool):
            options[field.name] = st.sampled_from([value, None])
    return st.fixed_dictionaries(options)


HOUSES = st.fixed_dictionaries(
    {
        "code": st.sampled_from(RULE_BOOKS),
        "survey": _varied(SURVEY, Survey),
        "appliance": _varied(APPLIANCE, Appliance),
        "chimney": _varied(CHIMNEY, Chimney),
        "roof_shape": st.sampled_from(["gable", "shed", "flat"]),
        "member_kind": st.sampled_from(["joist", "truss"]),
        "member_direction": st.sampled_from(["front to back", "side to side"]),
    }
)


def _refused(house):
    """Plan a house and return the sentence of its refusal, "" when there is none."""
    try:
        plan_of(**{**house.pop("survey"), **house})
    except ValueError as error:
        return str(error)
    return ""


@settings(max_examples=200)
@given(HOUSES)
def test_nothing_but_a_named_input_stops_a_plan(house):
    sentence = _refused(dict(house))
    assert not sentence or sentence.split(".")[0] in {"survey", "appliance", "chimney"}


@settings(max_examples=100)
@given(HOUSES.filter(lambda house: not _refused(dict(house))))
def test_every_plan_reads_as_sentences_and_survives_json(house):
    house = dict(house)
    plan = plan_of(**{**house.pop("survey"), **house})
    assert all(one.sentence.endswith(".") and "None" not in one.sentence for one in plan.findings)
    assert all(sentence.endswith(".") for sentence in plan.unknowns)
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


@given(st.floats(0.5, 3.0), st.floats(0.01, 2.0))
def test_a_higher_attic_never_takes_a_shorter_chimney(attic, more):
    low, high = plan_of(attic_height=attic), plan_of(attic_height=attic + more)
    assert high.sections.required > low.sections.required


@given(st.floats(0, 11.0))
def test_the_plumb_offset_is_never_more_than_half_a_spacing(further):
    plan = plan_of(wall_to_flue_centre=24 * INCH + further)
    assert abs(plan.plumb_offset) <= 12 * INCH + 1e-9
