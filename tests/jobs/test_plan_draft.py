"""The draft on the page of a plan."""

from django.template.loader import render_to_string

from jobs.plan_page import plan_page
from tests.calcs.houses import plan_of
from tests.calcs.test_flue_run import LEAST, solved


def rendered(plan) -> str:
    return render_to_string("jobs/plan_draft.html", {"plan": plan_page(plan)})


def labels(plan) -> dict[str, str]:
    return {figure.label: figure.words for figure in plan_page(plan).figures}


def test_a_solved_flue_is_drawn_over_weather_and_height():
    page = rendered(solved(appliance=LEAST))
    assert page.count("<svg") == 2
    assert "Draft over the outside temperature" in page
    assert "Draft over the height" in page


def test_a_flue_that_could_not_be_solved_has_no_panel():
    assert rendered(plan_of()).strip() == ""


def test_key_figures_tell_what_is_left_and_how_warm_the_wall_stays():
    plan = solved("uk", appliance=LEAST)
    told = labels(plan)
    left = plan.flue.nominal.draft.available_draft
    assert float(told["Draft left, nominal output"].removesuffix(" Pa")) <= left
    assert {"Draft left, least output", "Wall at the outlet, least output"} <= told.keys()
    assert "Draft left, nominal output" not in labels(plan_of("uk"))
