"""Plots of the draft: they parse, say what they show, and show what is solved."""

import re
from xml.etree import ElementTree

import pytest

from calcs.drawing.draft_plots import draft_over_height_svg, draft_over_temperature_svg
from calcs.drawing.plot import LEFT, RIGHT, round_axis
from tests.calcs.houses import plan_of
from tests.calcs.test_flue_run import LEAST, solved

SVG = "{http://www.w3.org/2000/svg}"
PLOTS = pytest.mark.parametrize("draw", [draft_over_temperature_svg, draft_over_height_svg])


def parsed(text):
    return ElementTree.fromstring(text)


def words(text):
    return [one.text for one in parsed(text).iter(f"{SVG}text")]


def described(text):
    return parsed(text).find(f"{SVG}desc").text


@PLOTS
def test_it_stands_alone_with_title_and_description(draw):
    drawing = parsed(draw(solved(appliance=LEAST)))
    names = drawing.get("aria-labelledby").split()
    assert [one.get("id") for one in drawing[:2]] == names
    assert not {one.tag for one in drawing.iter()} & {f"{SVG}script", f"{SVG}style", f"{SVG}image"}
    assert drawing.get("viewBox").startswith("0 0 820 ")


@PLOTS
def test_nominal_output_is_a_full_line_and_the_least_a_dashed_one(draw):
    plan = solved(appliance=LEAST)
    curves = [one for one in parsed(draw(plan)).iter(f"{SVG}polyline") if one.get("stroke-width") == "2.2"]
    assert [one.get("stroke-dasharray") for one in curves] == [None, "7 4"]
    assert {"Nominal output", "Least output", "Needed at nominal output"} <= set(words(draw(plan)))


@PLOTS
def test_without_a_least_output_there_is_one_curve_and_one_need(draw):
    drawing = draw(solved())
    assert "Least output" not in words(drawing)
    assert "Needed" in words(drawing)


@PLOTS
def test_a_flue_that_could_not_be_solved_has_no_plot(draw):
    assert draw(plan_of()) == ""


@PLOTS
@pytest.mark.parametrize(("system", "unit"), [("metric", "Pa"), ("imperial", "in w.c.")])
def test_it_is_written_in_the_units_asked_for(draw, system, unit):
    assert f"Draft left at the collar, {unit}" in words(draw(solved(), system))


@PLOTS
def test_units_nobody_knows_are_refused(draw):
    with pytest.raises(ValueError, match="system"):
        draw(solved(), "nautical")


@PLOTS
def test_two_plots_on_a_page_keep_their_names_apart(draw):
    one, other = draw(solved(), prefix="a"), draw(solved(), prefix="b")
    names = [set(re.findall(r' id="([^"]+)"', text)) for text in (one, other)]
    assert not names[0] & names[1]


def test_the_draft_falls_with_warmth_and_rises_with_height():
    plan = solved()
    for draw, falls in ((draft_over_temperature_svg, True), (draft_over_height_svg, False)):
        curve = next(
            one for one in parsed(draw(plan)).iter(f"{SVG}polyline") if one.get("stroke-width") == "2.2"
        )
        points = [tuple(map(float, pair.split(","))) for pair in curve.get("points").split()]
        assert points[0][0] == LEFT
        assert points[-1][0] == RIGHT
        # Paper counts downwards.
        heights = [y for _, y in points]
        assert heights == sorted(heights, reverse=not falls)


def test_the_planned_point_is_the_draft_of_the_plan():
    plan = solved("uk")
    left = plan.flue.nominal.draft.available_draft
    assert f"As planned: 0 °C, {int(left)} Pa" in words(draft_over_temperature_svg(plan))
    assert any(
        one.startswith("As planned:") and one.endswith(f"{int(left)} Pa")
        for one in words(draft_over_height_svg(plan))
    )


def test_the_description_says_up_to_which_day_it_draws_enough():
    plan = solved("uk", appliance={"least_draft": 16.0}, air_vent_area=0.01)
    told = re.search(r"it draws enough up to (-?\d+) °C outside", described(draft_over_temperature_svg(plan)))
    day = float(told[1])
    room = {
        shift: solved("uk", outside_temperature=day + shift).flue.nominal.draft.available_draft - 19.0
        for shift in (-2, 2)
    }
    assert room[-2] > 0 > room[2]


def test_the_description_says_from_which_height_it_draws_enough():
    plan = solved("uk", appliance={"least_draft": 24.0})
    assert "it draws enough from" in described(draft_over_height_svg(plan))


def test_a_need_beyond_the_plot_is_drawn_and_said():
    drawing = draft_over_temperature_svg(solved("uk", appliance={"least_draft": 80.0}))
    assert "nowhere enough" in described(drawing)
    lines = [one for one in parsed(drawing).iter(f"{SVG}polyline") if one.get("stroke-dasharray") == "9 4"]
    assert len(lines) == 1
    assert all(78 <= float(pair.split(",")[1]) <= 356 for pair in lines[0].get("points").split())


@pytest.mark.parametrize(("low", "high"), [(0, 0.13), (-12, 31), (0, 900), (3.2, 7.9)])
def test_marks_are_round_and_within_the_axis(low, high):
    axis = round_axis("Pa", low, high, 6)
    assert 3 <= len(axis.marks) <= 13
    assert all(low - 1e-9 <= mark <= high + 1e-9 for mark in axis.marks)
    assert len({axis.label(mark) for mark in axis.marks}) == len(axis.marks)
