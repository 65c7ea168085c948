"""The survey asks on each way out of the house what that way needs, and nothing else."""

from __future__ import annotations

import pytest

from jobs.forms.survey_routes import asked_on, every_field, sections_of
from jobs.forms.survey_sections import HELP, LABELS
from jobs.forms.surveys import SurveyForm
from jobs.models import Plan, Route, Survey
from jobs.queries.plans import plan_objections
from jobs.queries.surveys import survey_draft
from jobs.services.plans import plan_compute
from jobs.survey_words import survey_words
from tests.calcs.houses import INCH
from tests.factories import NOW, InstallationFactory, SurveyFactory, UserFactory
from tests.jobs.test_surveys import answers

OWN = {
    Route.FLAT_CEILING: {"attic_height", "insulation_depth", "rafter_depth"},
    Route.VAULTED_CEILING: {"ceiling_rise", "rafter_vented", "vent_space"},
    Route.THROUGH_WALL: {"thimble_height", "wall_thickness", "eaves_overhang", "eaves_way", "wall_bears"},
    Route.LINED_CHIMNEY: {"flue_width", "flue_inspection", "masonry_clearance", "throat_depth"},
}


def form_of(route: str, system: str = "imperial") -> SurveyForm:
    country = "GB" if system == "metric" else "US"
    installation = InstallationFactory(route=route, site__country=country, site__unit_system=system)
    return SurveyForm(instance=survey_draft(installation), system=system)


@pytest.mark.django_db
@pytest.mark.parametrize("system", ["imperial", "metric"])
@pytest.mark.parametrize("route", Route.values)
def test_a_route_asks_for_its_own_figures_and_not_for_those_of_others(route, system):
    form = form_of(route, system)
    shown = {one.field.name for part in form.sections() for one in (*part.fields, *part.more)}
    assert OWN[route] <= shown
    for other, names in OWN.items():
        assert other == route or not names & shown
    for field in form.fields.values():
        assert not set("{|}") & set(str(field.help_text) + str(field.label))


def test_every_figure_of_a_route_has_its_words():
    assert set(every_field()) <= set(LABELS)
    assert set(HELP) <= set(every_field())
    for route in Route.values:
        names = [name for part in sections_of(route) for name in part.fields]
        assert len(names) == len(set(names))
        assert {"notes", "roof_rise", "connector_run", "outside_temperature"} <= asked_on(route)


@pytest.mark.django_db
def test_a_figure_of_another_route_is_kept_and_not_lost(as_user, office):
    survey = SurveyFactory(attic_height=1.0)
    installation = survey.installation
    installation.route = Route.VAULTED_CEILING
    installation.save()
    page = f"/installations/{installation.pk}/survey/"
    sent = answers(installation, ceiling_rise="6/12", rafter_vented="vented", vent_space="1 1/2")
    response = as_user(office).post(page, sent)
    assert response.status_code == 302
    kept = Survey.objects.get(revision=2)
    assert (kept.ceiling_rise, kept.rafter_vented, kept.attic_height) == (6.0, "vented", 1.0)
    assert kept.vent_space == pytest.approx(1.5 * INCH)
    assert Plan.objects.get(survey=kept).data["survey"]["route"] == "vaulted ceiling"


@pytest.mark.django_db
def test_a_plan_for_another_way_out_is_not_built_from():
    survey = SurveyFactory()
    plan = Plan(installation=survey.installation, survey=survey, data=plan_compute(survey=survey).to_dict())
    assert not [one for one in plan_objections(plan) if "another way out" in one]
    plan.installation.route = Route.THROUGH_WALL
    assert "another way out" in plan_objections(plan)[0]


@pytest.mark.django_db
def test_a_stored_survey_is_read_in_the_words_of_its_route():
    installation = InstallationFactory(route=Route.THROUGH_WALL)
    survey = Survey(
        installation=installation, revision=1, made_by=UserFactory(), made_at=NOW, member_spacing=16 * INCH,
        eaves_way="offset", thimble_height=60 * INCH,
    )  # fmt: skip
    told = {one.label: one.words for part in survey_words(survey) for one in part.answers}
    assert told["Stud spacing, centre to centre"] == "16 in"
    assert told["The chimney passes the eaves"].startswith("Around them")
    assert not [label for label in told if "attic" in label.lower()]


@pytest.mark.django_db
@pytest.mark.parametrize("route", Route.values)
def test_the_page_of_a_house_nobody_measured_still_shows_its_plan(route, as_user, office):
    installation = InstallationFactory(route=route)
    page = as_user(office).get(f"/installations/{installation.pk}/survey/")
    assert page.status_code == 200
    assert "is not known" in page.content.decode()
