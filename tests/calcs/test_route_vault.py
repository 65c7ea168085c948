"""A chimney through a vaulted ceiling: the support box between the rafters."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.drawing import elevation_svg
from calcs.levels import levels_of
from calcs.routes.vault import box_height
from tests.calcs.houses import FOOT, INCH, finding
from tests.calcs.route_houses import route_plan


def vault(code="us", **told):
    return route_plan("vaulted ceiling", code, **told)


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
def test_a_house_of_which_everything_is_known_passes_and_leaves_nothing_open(code):
    plan = vault(code)
    assert (plan.verdict, plan.unknowns) == (Outcome.PASS, ())


def test_the_box_reaches_from_below_the_low_side_to_the_deck_on_the_high_side():
    # 3 in + (1/2 + 9 1/4 + 1/2) in x sqrt(1.25) + 14 in x 1/2.
    wanted = (3 + 10.25 * math.sqrt(1.25) + 7) * INCH
    plan = vault()
    assert plan.box_height == pytest.approx(wanted)
    assert plan.limits["box.height"].minimum == pytest.approx(wanted)
    assert vault(chimney={"box_above_deck": 2 * INCH}).box_height == pytest.approx(wanted + 2 * INCH)


@given(
    opening=st.floats(0.2, 0.6),
    pitch=st.floats(0, 60),
    thickness=st.floats(0.05, 0.5),
    below=st.floats(0, 0.2),
)
def test_a_box_of_that_height_covers_ceiling_and_deck_at_all_its_corners(opening, pitch, thickness, below):
    tall = box_height(opening, pitch, thickness, below)
    slope = math.tan(math.radians(pitch))
    # The ceiling at the flue's centre is height nothing; its low side is half a box further down.
    bottom = -opening / 2 * slope - below
    for x in (-opening / 2, opening / 2):
        ceiling = -x * slope
        deck = ceiling + thickness / math.cos(math.radians(pitch))
        assert bottom <= ceiling - below + 1e-9
        assert bottom + tall >= deck - 1e-9


def test_a_box_that_is_too_short_fails_and_is_never_hung_higher():
    plan = vault(chimney={"box_height": 18 * INCH})
    found = finding(plan, "support box")
    assert found.outcome is Outcome.FAIL
    assert found.room == pytest.approx(18 * INCH - plan.box_height)
    assert "Never hang it higher" in found.sentence
    assert {one.name: one.outcome for one in plan.checks}["box.height"] is Outcome.FAIL


@pytest.mark.parametrize("name", ["box_height", "box_projection", "box_above_deck"])
def test_a_figure_the_sheet_lacks_leaves_the_box_unknown(name):
    plan = vault(chimney={name: None})
    assert finding(plan, "support box").outcome is Outcome.UNKNOWN
    assert plan.verdict is Outcome.UNKNOWN
    assert any("support box" in sentence for sentence in plan.unknowns)


@pytest.mark.parametrize("name", ["ceiling_rise", "ceiling_thickness", "member_depth", "deck_thickness"])
def test_a_thickness_or_slope_not_measured_leaves_the_box_unknown(name):
    plan = vault(**{name: None})
    assert plan.box_height is None
    assert "box.height" not in plan.limits
    assert finding(plan, "support box").outcome is Outcome.UNKNOWN


def test_a_ceiling_of_another_slope_than_the_roof_is_not_planned_here():
    found = finding(vault(ceiling_rise=3.0), "support box")
    assert found.outcome is Outcome.FAIL
    assert "3/12" in found.sentence
    assert "6/12" in found.sentence
    assert finding(vault(ceiling_rise=6.2), "support box").outcome is Outcome.PASS


def test_headers_square_to_the_rafters_stand_further_apart_than_the_box_is_wide():
    # 14 in / cos + 9 1/4 in x tan, at 6/12.
    wanted = (14 * math.sqrt(1.25) + 9.25 / 2) * INCH
    plan = vault()
    assert plan.limits["framing.opening_along"].minimum == pytest.approx(wanted)
    assert {cut.name: cut.length for cut in plan.cut_list}["block"] == pytest.approx(wanted)
    assert vault(member_depth=None).cut_list == ()


def test_the_hole_in_the_deck_is_as_wide_as_the_box_not_as_the_pipe():
    plan = vault(chimney={"support_size": 16 * INCH})
    assert plan.limits["roof.opening.across"].minimum == pytest.approx(16 * INCH)


def test_no_joint_lies_between_the_ceilings_low_side_and_the_roofs_high_side():
    plan = vault()
    levels = levels_of(plan.survey, plan.appliance, plan.chimney)
    reach = plan.opening / 2 * levels.slope
    low, high = levels.ceiling - reach, levels.roof + reach
    joints = [levels.first_joint + joint for joint in plan.sections.joints]
    assert joints
    assert not [joint for joint in joints if low + 1e-9 < joint < high - 1e-9]
    assert levels.first_joint == pytest.approx(low - 3 * INCH)


def test_there_is_no_attic_to_shield():
    plan = vault()
    assert plan.attic_protection == "none"
    assert not {"attic shield", "enclosure", "insulation"} & {one.topic for one in plan.findings}
    assert not [name for name in plan.limits if name.startswith(("shield.", "enclosure."))]
    assert not [item for item in plan.load_list if "attic" in item.name]


@pytest.mark.parametrize(
    ("told", "outcome"),
    [
        ({"vent_space": 1 * INCH}, Outcome.PASS),
        ({"vent_space": 0.5 * INCH}, Outcome.FAIL),
        ({"vent_space": None}, Outcome.UNKNOWN),
        ({"rafter_vented": ""}, Outcome.UNKNOWN),
        ({"rafter_vented": "unvented", "vent_space": None}, Outcome.PASS),
    ],
)
def test_air_passes_over_the_insulation_or_nobody_knows(told, outcome):
    assert finding(vault(**told), "rafter space").outcome is outcome


def test_an_unvented_rafter_space_has_no_limit_on_its_air():
    assert "rafter.vent_space" not in vault(rafter_vented="unvented").limits


def test_what_is_cut_is_called_a_rafter():
    plan = vault(member_spacing=14 * INCH, wall_to_flue_centre=34.5 * INCH)
    assert plan.members_cut == 1
    told = " ".join([one.sentence for one in plan.findings] + [cut.note for cut in plan.cut_list])
    assert "rafter" in told
    assert "joist is cut" not in told


def test_a_truss_is_not_cut_under_a_vault_either():
    plan = vault(member_kind="truss", member_spacing=14 * INCH)
    assert plan.members_cut == 0
    assert finding(plan, "position").outcome is Outcome.FAIL


def test_the_drawing_shows_box_and_rafter_space_and_no_attic():
    drawn = elevation_svg(vault())
    for words in ("Section through room, vaulted ceiling and roof", "Support box", "Rafter space"):
        assert words in drawn
    assert "ATTIC" not in drawn
    assert "not known" in elevation_svg(vault(ceiling_rise=None))


def test_a_flat_vault_is_a_box_through_a_flat_roof():
    plan = vault(roof_shape="flat", roof_rise=0.0, ceiling_rise=0.0, ridge_distance=None)
    assert plan.box_height == pytest.approx((3 + 10.25) * INCH)
    assert plan.outlet_required > 8 * FOOT
