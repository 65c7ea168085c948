"""How a plan was reckoned, on its page: steps in the units of the house, each with its source."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.urls import reverse

from calcs.plan import Plan as ComputedPlan
from calcs.rulebook import load_rulebook
from calcs.steps import Step
from jobs.models import Plan
from jobs.plan_page import plan_page
from jobs.queries.plans import plan_read
from jobs.services.plans import plan_make
from jobs.working_page import workings_of
from tests.factories import NOW, SurveyFactory

pytestmark = pytest.mark.django_db
RADIUS = load_rulebook("us").rules["termination.radius"].source
STEPS = (
    Step("At nominal output"),
    Step("Reach looked at", "", "r", 3.048, "m", "length", RADIUS),
    Step("Pressure of the air", "p = 101325 Pa × …", "p", 95000.0, "Pa"),
    Step("Viscosity", "15e-6 + 47e-9 t", "η", 2.35e-5, "kg/(m s)"),
    Step("Surface of the flue", "π D L", "A", 1.25, "m2"),
)


@pytest.fixture
def stored(office) -> Plan:
    return plan_make(survey=SurveyFactory(), by=office, now=NOW)


def with_working(stored: Plan, **working) -> ComputedPlan:
    """The plan with these workings instead of its own."""
    return replace(plan_read(stored), working=working)


def page_of(client, stored: Plan) -> str:
    return client.get(reverse("plan_detail", args=[stored.pk])).content.decode()


def kept(stored: Plan, plan: ComputedPlan) -> Plan:
    return Plan.objects.create(
        installation=stored.installation, survey=stored.survey, revision=stored.revision + 1, made_at=NOW,
        made_by=stored.made_by, data=plan.to_dict(), schema=plan.schema, rule_book=plan.rulebook,
        rule_book_edition=plan.edition,
    )  # fmt: skip


def test_steps_are_written_in_the_units_of_the_house_and_in_si(stored):
    (block,) = workings_of(with_working(stored, termination=STEPS))[0].blocks
    assert block.heads == ("At nominal output",)
    assert [(line.formula, line.results[0].words, line.results[0].si) for line in block.lines] == [
        ("r", "10 ft", "3.048 m"),
        ("p = 101325 Pa × …", "95000 Pa", ""),
        ("η = 15e-6 + 47e-9 t", "2.35 × 10⁻⁵ kg/(m s)", ""),
        ("A = π D L", "1.25 m²", ""),
    ]


def test_steps_that_repeat_stand_side_by_side(stored):
    steps = (
        Step("Given", "", "x", 1.0, "m", "length"),
        *(
            step
            for head, result in (("Room", 1.0), ("Attic", 2.0), ("Outside", 3.0))
            for step in (Step(head), Step("Height", "", "H", result, "m", "length"))
        ),
        Step("The whole flue"),
        Step("Height", "Σ H", "H", 6.0, "m", "length"),
        Step("Nothing follows"),
    )
    blocks = workings_of(with_working(stored, draft=steps))[0].blocks
    assert [block.heads for block in blocks] == [
        ("",), ("Room", "Attic", "Outside"), ("The whole flue",), ("Nothing follows",),
    ]  # fmt: skip
    assert [one.si for one in blocks[1].lines[0].results] == ["1 m", "2 m", "3 m"]
    assert blocks[3].lines == ()


def test_a_step_leads_to_the_rule_it_rests_on(stored):
    radius = workings_of(with_working(stored, termination=STEPS))[0].blocks[0].lines[0]
    assert radius.source_url == "/rules/us/?rule=termination.radius"
    assert "R1003.9" in radius.source


def test_workings_follow_the_findings_and_what_belongs_to_none_comes_last(stored):
    plan = with_working(stored, extra=STEPS, draft=STEPS, position=STEPS, empty=())
    topics = [one.topic for one in plan.findings if one.topic in {"draft", "position"}]
    assert [one.topic for one in workings_of(plan)] == [*topics, "extra"]


def test_a_finding_leads_to_its_working_and_its_working_is_on_the_page(as_user, office, stored):
    page = page_of(as_user(office), kept(stored, with_working(stored, termination=STEPS)))
    assert 'href="#reckoned-termination"' in page
    assert page.count('id="reckoned-termination"') == 1
    assert 'href="/rules/us/?rule=termination.radius"' in page
    assert "At nominal output" in page


def test_a_plan_kept_without_any_working_has_its_page(as_user, office, stored):
    data = with_working(stored).to_dict()
    del data["working"]
    old = kept(stored, with_working(stored))
    Plan.objects.filter(pk=old.pk).update(data=data)
    page = page_of(as_user(office), old)
    assert "reckoned" not in page
    assert "Findings" in page


def test_a_plan_kept_before_sources_named_their_rules_has_its_page(as_user, office, stored):
    data = with_working(stored, termination=STEPS).to_dict()
    for limit in data["limits"].values():
        del limit["source"]["rule"]
    for check in data["checks"]:
        if check["limit"]:
            del check["limit"]["source"]["rule"]
    old = kept(stored, with_working(stored))
    Plan.objects.filter(pk=old.pk).update(data=data)
    assert "Limits for the work on site" in page_of(as_user(office), old)


def test_every_limit_of_a_rule_leads_to_it(stored):
    plan = plan_read(stored)
    page = plan_page(plan)
    held = {key for key, limit in plan.limits.items() if limit.source.rule}
    assert held
    assert {row.key for row in page.limits if row.source_url} == held
    for row in page.limits:
        if row.source_url:
            assert row.source_url.startswith("/rules/us/?rule=")


@pytest.mark.parametrize("country", ["US", "CA", "GB"])
def test_every_step_of_a_whole_plan_can_be_written(office, country):
    survey = SurveyFactory(installation__site__country=country)
    plan = plan_read(plan_make(survey=survey, by=office, now=NOW))
    for working in workings_of(plan):
        for block in working.blocks:
            assert all(block.heads) or block.lines
            for line in block.lines:
                assert line.says
                assert line.formula or line.source or all(one.words for one in line.results)
