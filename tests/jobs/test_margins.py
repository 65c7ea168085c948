"""Measures that may turn a verdict: told on the page of the plan, in the preview and on paper."""

from __future__ import annotations

import pytest

from jobs.margins_page import margins_of
from jobs.queries.plans import plan_read
from jobs.services.plans import plan_make
from tests.factories import IN, NOW, SurveyFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def doubtful(office):
    """A plan whose flue centre may be off by more than the box has to spare."""
    survey = SurveyFactory(tolerances={"wall_to_flue_centre": 6 * IN})
    return plan_make(survey=survey, by=office, now=NOW)


def test_the_page_of_a_plan_says_what_to_measure_again(as_user, office, doubtful):
    page = as_user(office).get(f"/plans/{doubtful.pk}/").content.decode()
    assert "Measure again" in page
    assert "6 in more or less than measured: measure it again." in page


def test_a_plan_without_tolerances_asks_for_nothing_again(as_user, office):
    plan = plan_make(survey=SurveyFactory(), by=office, now=NOW)
    assert "Measure again" not in as_user(office).get(f"/plans/{plan.pk}/").content.decode()


class TestMargins:
    def test_it_shows_the_tightest_measure_first(self, as_user, office, doubtful):
        rows = margins_of(plan_read(doubtful)).rows
        page = as_user(office).get(f"/plans/{doubtful.pk}/margins/").content.decode()
        places = [page.index(row.off) for row in rows]
        assert rows
        assert places == sorted(places)
        assert f'href="/plans/{doubtful.pk}/margins/"' in (
            as_user(office).get(f"/plans/{doubtful.pk}/").content.decode()
        )

    def test_figures_follow_the_units_of_the_house(self, as_user, office):
        survey = SurveyFactory(installation__site__unit_system="metric")
        plan = plan_make(survey=survey, by=office, now=NOW)
        page = as_user(office).get(f"/plans/{plan.pk}/margins/").content.decode()
        assert "by up to 102 mm" in page

    def test_it_needs_a_login(self, client, doubtful):
        assert client.get(f"/plans/{doubtful.pk}/margins/").status_code == 302

    def test_a_stranger_gets_404(self, as_user, stranger, doubtful):
        assert as_user(stranger).get(f"/plans/{doubtful.pk}/margins/").status_code == 404

    def test_a_crew_reads_it(self, as_user, installer, technician, doubtful):
        VisitFactory(crew=technician.crew, job__installation=doubtful.installation)
        assert as_user(installer).get(f"/plans/{doubtful.pk}/margins/").status_code == 200

    def test_a_wrong_method_is_refused(self, as_user, office, doubtful):
        assert as_user(office).post(f"/plans/{doubtful.pk}/margins/").status_code == 405
