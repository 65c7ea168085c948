"""The pages of jobs: finding, opening, reading, planning, calling off."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job, JobKind, JobStatus, Shop
from tests.factories import (
    NOW,
    CrewFactory,
    InstallationFactory,
    JobFactory,
    TechnicianFactory,
    VisitFactory,
)
from tests.jobs.five import forbids, hides, needs_login, refuses_method
from tests.jobs.test_jobs import make_plan

pytestmark = pytest.mark.django_db


def url(name, row):
    return reverse(name, args=[row.pk])


def listed(client, **query):
    response = client.get(reverse("job_list"), query)
    assert response.status_code == 200
    return [row.job for row in response.context["rows"]]


class TestList:
    def test_it_shows_open_jobs_only_unless_asked(self, as_user, office):
        job = JobFactory()
        gone = JobFactory(status=JobStatus.CLOSED, closed_at=NOW)
        assert listed(as_user(office)) == [job]
        assert set(listed(as_user(office), status="all")) == {job, gone}
        assert listed(as_user(office), status="closed") == [gone]

    def test_it_needs_a_login(self):
        needs_login(reverse("job_list"))

    def test_an_installer_finds_the_own_crews_jobs_only(self, as_user, technician, stranger):
        visit = VisitFactory(crew=technician.crew)
        VisitFactory()
        VisitFactory(crew=technician.crew, cancelled_at=NOW)
        assert listed(as_user(technician.user)) == [visit.job]
        assert listed(as_user(stranger)) == []

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), reverse("job_list"), "post")

    def test_it_filters_by_kind_and_crew(self, as_user, office):
        sweep = JobFactory(kind=JobKind.ANNUAL_SWEEP)
        visit = VisitFactory()
        assert listed(as_user(office), kind="annual sweep") == [sweep]
        assert listed(as_user(office), crew=visit.crew.pk) == [visit.job]

    def test_late_is_a_crew_that_has_not_begun(self, as_user, office):
        now = timezone.now()
        late = VisitFactory(starts_at=now - timedelta(hours=2), ends_at=now + timedelta(hours=2))
        begun = VisitFactory(job__status=JobStatus.ON_SITE, starts_at=late.starts_at, ends_at=late.ends_at)
        VisitFactory(starts_at=now + timedelta(hours=1), ends_at=now + timedelta(hours=2))
        client = as_user(office)
        assert listed(client, when="late") == [late.job]
        assert "Late: not begun" in client.get(reverse("job_list"), {"when": "late"}).content.decode()
        assert begun.job not in listed(client, when="overdue")

    def test_overdue_is_work_begun_that_nobody_comes_back_to(self, as_user, office):
        now = timezone.now()
        visit = VisitFactory(
            job__status=JobStatus.ON_SITE, starts_at=now - timedelta(days=2), ends_at=now - timedelta(days=1)
        )
        assert listed(as_user(office), when="overdue") == [visit.job]
        VisitFactory(job=visit.job, starts_at=now + timedelta(days=1), ends_at=now + timedelta(days=2))
        assert listed(as_user(office), when="overdue") == []

    @pytest.mark.parametrize(
        "text", ["marrow", "Quarry", "marrow quarry", "J-{pk:04d}", "{pk}", "j{pk}", "05701", "rutland"]
    )
    def test_it_finds_by_customer_street_town_postcode_and_number(self, as_user, office, text):
        for _ in range(3):
            JobFactory()
        job = JobFactory(
            installation__site__customer__name="Wren Marrow", installation__site__street="7 Quarry Hill",
            installation__site__postcode="05701", installation__site__city="Rutland Hollow",
        )  # fmt: skip
        assert job in listed(as_user(office), q=text.format(pk=job.pk))
        assert JobFactory() not in listed(as_user(office), q="marrow")

    def test_words_that_fit_nothing_say_what_to_do(self, as_user, office):
        JobFactory()
        response = as_user(office).get(reverse("job_list"), {"q": "nobody of that name"})
        assert "Take a filter away" in response.content.decode()

    def test_a_stale_link_still_shows_a_list(self, as_user, office):
        job = JobFactory()
        assert listed(as_user(office), crew="999", status="gone", page="x", kind="?") == [job]

    def test_mine_is_what_i_opened_or_my_crew_goes_to(self, as_user, office, owner):
        mine = JobFactory(created_by=owner)
        crew = CrewFactory()
        TechnicianFactory(user=owner, crew=crew)
        visit = VisitFactory(crew=crew)
        JobFactory(created_by=office)
        assert set(listed(as_user(owner), mine="on")) == {mine, visit.job}

    def test_htmx_gets_the_rows_alone_and_going_back_gets_the_page(self, as_user, office):
        JobFactory()
        client = as_user(office)
        part = client.get(reverse("job_list"), headers={"HX-Request": "true"})
        assert b"<html" not in part.content
        assert "HX-Request" in part["Vary"]
        whole = client.get(
            reverse("job_list"), headers={"HX-Request": "true", "HX-History-Restore-Request": "true"}
        )
        assert b"<html" in whole.content

    def test_it_pages_and_keeps_the_filter(self, as_user, office):
        installation = InstallationFactory()
        JobFactory.create_batch(26, installation=installation)
        response = as_user(office).get(reverse("job_list"), {"kind": "new installation"})
        assert len(response.context["rows"]) == 25
        assert "kind=new+installation&amp;page=2" in response.content.decode()
        assert len(listed(as_user(office), kind="new installation", page=2)) == 1

    def test_the_number_of_queries_does_not_grow(self, as_user, office, django_assert_max_num_queries):
        for _ in range(12):
            VisitFactory()
        client = as_user(office)
        with django_assert_max_num_queries(14):
            client.get(reverse("job_list"))


class TestAdd:
    def test_it_opens_an_enquiry(self, as_user, office):
        installation = InstallationFactory()
        response = as_user(office).post(
            url("job_add", installation), {"kind": "new installation", "note": "by autumn"}
        )
        job = Job.objects.get()
        assert response.url == url("job_detail", job)
        assert (job.status, job.created_by, job.note) == ("enquiry", office, "by autumn")

    def test_it_takes_the_plan_at_once(self, as_user, office):
        plan = make_plan(InstallationFactory())
        as_user(office).post(url("job_add", plan.installation), {"kind": "new installation", "plan": plan.pk})
        assert Job.objects.get().status == "planned"

    def test_it_shows_the_form(self, as_user, office):
        assert as_user(office).get(url("job_add", InstallationFactory())).status_code == 200

    def test_it_needs_a_login(self):
        needs_login(url("job_add", InstallationFactory()))

    def test_an_installation_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("job_add", args=[4711]))

    def test_a_reader_cannot_open_a_job(self, as_user, installer, inspector):
        installation = InstallationFactory()
        for user in (installer, inspector):
            forbids(as_user(user), url("job_add", installation), "post")
        assert not Job.objects.exists()

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), url("job_add", InstallationFactory()), "put")

    def test_a_kind_nobody_knows_is_refused(self, as_user, office):
        response = as_user(office).post(
            url("job_add", InstallationFactory()), {"kind": "magic", "note": "keep me"}
        )
        assert "keep me" in response.content.decode()
        assert not Job.objects.exists()


class TestDetail:
    def test_everybody_who_may_see_it_reads_it(self, as_user, owner, office, inspector, technician):
        job = VisitFactory(crew=technician.crew, job__note="Blue tiles stay").job
        for user in (owner, office, inspector, technician.user):
            page = as_user(user).get(url("job_detail", job)).content.decode()
            assert "Blue tiles stay" in page
            assert job.installation.site.street in page

    def test_it_needs_a_login(self):
        needs_login(url("job_detail", JobFactory()))

    def test_another_crew_gets_404(self, as_user, stranger):
        hides(as_user(stranger), url("job_detail", VisitFactory().job))

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), url("job_detail", JobFactory()), "post")

    @pytest.mark.parametrize(
        ("status", "person", "labels"),
        [
            ("enquiry", "office", ["Record the survey"]),
            ("planned", "office", ["Schedule a visit"]),
            ("scheduled", "office", ["Schedule another visit"]),
            ("scheduled", "owner", ["Begin site work", "Work without a signal", "Schedule another visit"]),
            ("scheduled", "installer", ["Begin site work", "Work without a signal"]),
            ("scheduled", "inspector", []),
            (
                "on site",
                "installer",
                ["Go on with site work", "Work without a signal", "Read the record"],
            ),
            ("on site", "inspector", ["Read the record"]),
            ("ready for sign-off", "inspector", ["Review and sign off"]),
            ("ready for sign-off", "owner", ["Review and sign off"]),
            ("ready for sign-off", "office", ["Read the record"]),
            ("ready for sign-off", "installer", ["Read the record"]),
            ("closed", "office", ["Read the record"]),
            ("closed", "installer", ["Read the record"]),
            ("closed", "inspector", ["Read the record", "Reopen the job"]),
            ("cancelled", "owner", []),
        ],
    )
    def test_it_offers_what_this_person_can_do_next(self, as_user, request, *, status, person, labels):
        technician = request.getfixturevalue("technician")
        user = request.getfixturevalue(person)
        job = JobFactory(status=status, closed_at=NOW if status == "closed" else None)
        VisitFactory(job=job, crew=technician.crew)
        response = as_user(user).get(url("job_detail", job))
        assert [step.label for step in response.context["steps"]] == labels

    def test_only_the_office_is_offered_to_cancel(self, as_user, office, technician):
        job = VisitFactory(crew=technician.crew).job
        assert url("job_move", job) in as_user(office).get(url("job_detail", job)).content.decode()
        assert (
            url("job_move", job) not in as_user(technician.user).get(url("job_detail", job)).content.decode()
        )

    def test_a_one_person_shop_signs_off_from_here(self, as_user, technician):
        Shop.current()
        Shop.objects.update(one_person=True)
        job = VisitFactory(crew=technician.crew, job__status="ready for sign-off").job
        response = as_user(technician.user).get(url("job_detail", job))
        assert [step.label for step in response.context["steps"]] == ["Review and sign off"]

    def test_hazards_stand_on_top(self, as_user, office):
        job = JobFactory(installation__site__hazard_notes="Loose dog")
        assert "Hazards at the house" in as_user(office).get(url("job_detail", job)).content.decode()

    def test_times_of_a_house_elsewhere_are_given_twice(self, as_user, office):
        visit = VisitFactory(job__installation__site__time_zone="America/Los_Angeles")
        page = as_user(office).get(url("job_detail", visit.job)).content.decode()
        assert "11 AM – 5 PM" in page
        assert "8 AM – 2 PM PDT" in page
        assert "3 h behind the shop" in page


class TestMove:
    def test_it_cancels_with_a_reason(self, as_user, office):
        job = JobFactory()
        client = as_user(office)
        assert client.get(url("job_move", job)).status_code == 200
        client.post(url("job_move", job), {"to": "cancelled", "reason": "moved away"})
        job.refresh_from_db()
        assert job.status == "cancelled"
        assert "moved away" in client.get(url("job_detail", job)).content.decode()

    def test_it_asks_for_the_reason(self, as_user, office):
        job = JobFactory()
        response = as_user(office).post(url("job_move", job), {"to": "cancelled"})
        assert "Write why" in response.content.decode()
        job.refresh_from_db()
        assert job.status == "enquiry"

    @pytest.mark.parametrize("to", ["closed", "planned", "on site", "", "nonsense"])
    def test_nothing_else_is_done_by_hand(self, as_user, owner, to):
        job = JobFactory(status="ready for sign-off")
        as_user(owner).post(url("job_move", job), {"to": to, "reason": "because"})
        job.refresh_from_db()
        assert job.status == "ready for sign-off"

    def test_a_job_that_moved_on_says_so(self, as_user, office):
        job = JobFactory(status="closed", closed_at=NOW)
        response = as_user(office).post(url("job_move", job), {"to": "cancelled", "reason": "late"})
        assert "is closed and cannot become cancelled" in response.content.decode()

    def test_it_needs_a_login(self):
        needs_login(url("job_move", JobFactory()))

    def test_a_job_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("job_move", args=[4711]))

    def test_a_reader_cannot_cancel(self, as_user, technician, inspector):
        job = VisitFactory(crew=technician.crew).job
        for user in (technician.user, inspector):
            forbids(as_user(user), url("job_move", job), "post")

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), url("job_move", JobFactory()), "delete")


class TestPlan:
    def test_it_attaches_a_plan(self, as_user, office):
        job = JobFactory()
        plan = make_plan(job.installation)
        client = as_user(office)
        assert "Attach the plan" in client.get(url("job_detail", job)).content.decode()
        client.post(url("job_plan", job), {"plan": plan.pk})
        job.refresh_from_db()
        assert (job.plan, job.status) == (plan, "planned")

    def test_a_plan_of_another_house_is_not_a_choice(self, as_user, office):
        job = JobFactory()
        response = as_user(office).post(
            url("job_plan", job), {"plan": make_plan(InstallationFactory()).pk}, follow=True
        )
        assert "Choose one of this installation" in response.content.decode()

    def test_a_settled_plan_is_said_so(self, as_user, office):
        job = JobFactory(status="on site")
        plan = make_plan(job.installation)
        response = as_user(office).post(url("job_plan", job), {"plan": plan.pk}, follow=True)
        assert "its plan can no longer be changed" in response.content.decode()

    def test_it_needs_a_login(self):
        needs_login(url("job_plan", JobFactory()))

    def test_a_job_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("job_plan", args=[4711]), "post")

    def test_a_reader_cannot_attach(self, as_user, installer):
        forbids(as_user(installer), url("job_plan", JobFactory()), "post")

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), url("job_plan", JobFactory()), "get")
