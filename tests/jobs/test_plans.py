"""Plans: computed once, kept as they were, shown with every limit and its source."""

from __future__ import annotations

import pytest

from jobs.limit_names import LIMIT_NAMES
from jobs.models import JobStatus, Plan
from jobs.plan_page import plan_page
from jobs.queries.plans import jobs_for_plan, plan_objections, plan_read, plans_visible_to
from jobs.services.jobs import job_create
from jobs.services.plans import plan_compute, plan_make
from tests.factories import IN, NOW, InstallationFactory, JobFactory, SurveyFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(office) -> Plan:
    return plan_make(survey=SurveyFactory(), by=office, now=NOW)


@pytest.fixture
def enclosed(office) -> Plan:
    """A plan whose shield does not fit and whose appliance stands too near."""
    return plan_make(survey=SurveyFactory(attic_height=10.5 * IN, rear_wall=12 * IN), by=office, now=NOW)


class TestServices:
    def test_a_stored_plan_reads_back_as_the_value_it_was(self, plan):
        assert plan_read(Plan.objects.get(pk=plan.pk)) == plan_compute(survey=plan.survey)

    def test_a_plan_keeps_rule_book_edition_and_schema(self, plan):
        assert (plan.rule_book, plan.schema) == ("us", 1)
        assert plan.rule_book_edition == plan_read(plan).edition

    def test_every_plan_is_the_next_revision_and_the_earlier_one_stays(self, plan, office):
        before = plan.data
        plan.survey.installation.appliance.clearance_rear = 1.0
        plan.survey.installation.appliance.save()
        assert plan_make(survey=plan.survey, by=office, now=NOW).revision == 2
        plan.refresh_from_db()
        assert plan.data == before

    @pytest.mark.parametrize(("country", "book"), [("US", "us"), ("CA", "ca"), ("GB", "uk")])
    def test_the_country_of_the_house_decides_the_rule_book(self, office, country, book):
        survey = SurveyFactory(installation__site__country=country)
        assert plan_make(survey=survey, by=office, now=NOW).rule_book == book

    def test_the_plan_speaks_the_units_of_the_house(self, office):
        survey = SurveyFactory(installation__site__unit_system="metric")
        assert "the 356 mm box" in plan_compute(survey=survey).findings[0].sentence


class TestQueries:
    def test_an_installer_sees_only_plans_of_the_own_crews_jobs(self, installer, technician, stranger, plan):
        assert not plans_visible_to(installer).exists()
        VisitFactory(crew=technician.crew, job__installation=plan.installation)
        assert list(plans_visible_to(installer)) == [plan]
        assert not plans_visible_to(stranger).exists()

    def test_jobs_that_wait_for_a_plan_are_those_of_the_installation_before_work(self, office, plan):
        waiting = JobFactory(installation=plan.installation)
        JobFactory(installation=plan.installation, kind="annual sweep")
        JobFactory(installation=plan.installation, status=JobStatus.ON_SITE)
        JobFactory(installation=plan.installation, plan=plan)
        JobFactory()
        assert list(jobs_for_plan(office, plan)) == [waiting]


class TestPage:
    @pytest.mark.parametrize("country", ["US", "CA", "GB"])
    def test_every_limit_and_check_has_a_name_people_use(self, country):
        survey = SurveyFactory(installation__site__country=country)
        computed = plan_compute(survey=survey)
        assert set(computed.limits) | {check.name for check in computed.checks} <= set(LIMIT_NAMES)

    def test_failures_stand_first_and_are_counted(self, enclosed):
        page = plan_page(plan_read(enclosed))
        assert page.verdict == "fail"
        assert str(page.findings[0].outcome) == "fail"
        assert page.checks[0].name == "Appliance to the wall behind"
        # The wall behind as a check and as a finding; the enclosure answers the shield.
        assert page.tally.startswith("2 failed")
        assert page.tally.endswith("1 answered by the plan")

    def test_a_plan_with_anything_unknown_is_not_passed(self):
        page = plan_page(plan_compute(survey=SurveyFactory(insulation_depth=None)))
        assert page.verdict == "unknown"

    # A 6/12 slope over a 14 in opening leaves 7 in low and 14 in high: common practice.
    def test_the_panels_of_the_enclosure_are_said_by_width_and_edges(self, enclosed):
        low = plan_page(plan_read(enclosed)).panels[0]
        assert (low.name, low.width, low.left, low.right) == ("low panel", "14 in", "7 in", "7 in")

    def test_a_figure_that_is_not_known_says_so(self):
        page = plan_page(plan_compute(survey=SurveyFactory(member_spacing=None)))
        assert ("Bay, clear", "not known") in [(one.label, one.words) for one in page.figures]


class TestDetail:
    def test_it_shows_drawings_findings_lists_limits_with_sources_and_cautions(self, as_user, office, plan):
        page = as_user(office).get(f"/plans/{plan.pk}/").content.decode()
        for words in (
            "Section through room, ceiling, attic and roof",
            "Ceiling framing, seen from above",
            "Roof, seen from above",
            "leave the appliance where it is",
            "Header",
            "Storm collar",
            "Altitude of the site is not known",
            "Before you cut",
            "Chimney to combustibles",
            "at least 2 in",
            "listing, Sheet GH-9, 1st edition (read)",
            "edition 2025-1",
        ):
            assert words in page

    def test_it_says_when_there_is_a_later_plan(self, as_user, office, plan):
        plan_make(survey=plan.survey, by=office, now=NOW)
        assert "There is a later plan" in as_user(office).get(f"/plans/{plan.pk}/").content.decode()

    def test_without_a_job_it_leads_to_one(self, as_user, office, plan):
        page = as_user(office).get(f"/plans/{plan.pk}/").content.decode()
        assert f"/installations/{plan.installation_id}/jobs/add/?plan={plan.pk}" in page

    def test_it_needs_a_login(self, client, plan):
        assert client.get(f"/plans/{plan.pk}/").status_code == 302

    def test_a_stranger_gets_404(self, as_user, stranger, plan):
        assert as_user(stranger).get(f"/plans/{plan.pk}/").status_code == 404

    def test_the_crew_reads_it_but_is_offered_no_way_to_write(self, as_user, installer, technician, plan):
        job = JobFactory(installation=plan.installation)
        VisitFactory(crew=technician.crew, job=job)
        page = as_user(installer).get(f"/plans/{plan.pk}/").content.decode()
        assert "Give it this plan" not in page
        assert "/survey/" not in page

    def test_it_refuses_a_post(self, as_user, office, plan):
        assert as_user(office).post(f"/plans/{plan.pk}/").status_code == 405

    def test_names_typed_by_people_do_not_become_markup(self, as_user, office):
        survey = SurveyFactory(
            obstacles=[{"name": "<script>alert(1)</script>", "distance": 2.0, "height": 2.0}]
        )
        kept = plan_make(survey=survey, by=office, now=NOW)
        assert "<script>alert" not in as_user(office).get(f"/plans/{kept.pk}/").content.decode()


class TestAttach:
    def test_an_enquiry_becomes_planned_by_it(self, as_user, office, plan):
        job = job_create(installation=plan.installation, kind="new installation", by=office, now=NOW)
        answer = as_user(office).post(f"/plans/{plan.pk}/attach/", {"job": job.pk})
        job.refresh_from_db()
        assert (job.plan, job.status) == (plan, JobStatus.PLANNED)
        assert answer.headers["Location"] == f"/jobs/{job.pk}/"

    def test_a_job_on_site_keeps_its_plan_and_says_so(self, as_user, office, plan):
        job = JobFactory(installation=plan.installation, status=JobStatus.ON_SITE)
        page = as_user(office).post(f"/plans/{plan.pk}/attach/", {"job": job.pk}, follow=True)
        assert "can no longer be changed" in page.content.decode()

    def test_a_job_of_another_installation_is_refused(self, as_user, office, plan):
        job = JobFactory(installation=InstallationFactory())
        page = as_user(office).post(f"/plans/{plan.pk}/attach/", {"job": job.pk}, follow=True)
        assert "another installation" in page.content.decode()
        job.refresh_from_db()
        assert job.plan is None

    def test_it_needs_a_login(self, client, plan):
        assert client.post(f"/plans/{plan.pk}/attach/").status_code == 302

    @pytest.mark.parametrize("number", ["", "4711", "x"])
    def test_a_job_that_is_not_there_gives_404(self, as_user, office, plan, number):
        assert as_user(office).post(f"/plans/{plan.pk}/attach/", {"job": number}).status_code == 404

    def test_a_reader_cannot_write(self, as_user, inspector, plan):
        job = JobFactory(installation=plan.installation)
        assert as_user(inspector).post(f"/plans/{plan.pk}/attach/", {"job": job.pk}).status_code == 403
        job.refresh_from_db()
        assert job.plan is None

    def test_it_refuses_a_get(self, as_user, office, plan):
        assert as_user(office).get(f"/plans/{plan.pk}/attach/").status_code == 405


class TestObjections:
    def test_a_plan_that_stands_has_none(self, office):
        layers = [{"material": "brick", "thickness": 4 * IN}]
        survey = SurveyFactory(installation__site__altitude=200.0, hearth_layers=layers)
        assert plan_objections(plan_make(survey=survey, by=office, now=NOW)) == []
        assert plan_objections(None) == []

    def test_each_failure_is_told_once_and_an_answered_one_not_at_all(self, enclosed):
        told = plan_objections(enclosed)
        assert sum("too near the wall behind it" in one for one in told) == 1
        assert not any("shield" in one for one in told)
        assert not any(one.startswith("Appliance to the wall behind") for one in told)

    def test_a_failing_measure_without_a_finding_is_told_with_its_limit(self, office):
        survey = SurveyFactory(installation__chimney__support_projection=2 * IN)
        told = plan_objections(plan_make(survey=survey, by=office, now=NOW))
        assert "Support below the finished ceiling: 2 in, at least 3 in is asked for." in told

    def test_what_is_short_in_the_room_is_told_in_the_findings_words(self, office):
        survey = SurveyFactory(hearth_front=12 * IN, connector_elbows=3)
        told = plan_objections(plan_make(survey=survey, by=office, now=NOW))
        assert sum("hearth reaches 12 in in front" in one for one in told) == 1
        assert sum("3 elbows; at most 2 are allowed" in one for one in told) == 1
        assert not any(one.startswith(("Floor protection in front", "Elbows")) for one in told)

    def test_a_box_beside_its_bay_is_told_in_the_findings_words(self, office):
        survey = SurveyFactory(wall_to_flue_centre=80 * IN)
        told = plan_objections(plan_make(survey=survey, by=office, now=NOW))
        assert sum("Move the appliance" in one for one in told) == 1
        assert not any(one.startswith("Plumb point") for one in told)

    def test_office_and_crew_read_them_before_anything_is_cut(self, office, installer, as_user):
        plan = plan_make(survey=SurveyFactory(wall_to_flue_centre=80 * IN), by=office, now=NOW)
        job = JobFactory(installation=plan.installation, plan=plan, status=JobStatus.SCHEDULED)
        VisitFactory(job=job, crew=installer.technician.crew)
        for user, page in ((office, f"/jobs/{job.pk}/"), (installer, f"/jobs/{job.pk}/site-work/")):
            content = as_user(user).get(page).content.decode()
            assert "The plan does not stand yet" in content
            assert "Move the appliance" in content
