"""Pages ask as much of the database in a shop of many rows as in one of few."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from inspections.models import Defect
from inspections.services.records import record_begin
from jobs.models import BookingRequest, Credential, Document, JobKind, Permit, ServiceSchedule
from jobs.queries.jobs import JobSearch, jobs_found, jobs_visible_to
from jobs.services.mail import mail_queue
from jobs.services.plans import plan_make
from tests.factories import (
    ApplianceFactory,
    ChimneyFactory,
    InstallationFactory,
    JobFactory,
    SurveyFactory,
    TechnicianFactory,
    VisitFactory,
)

FEW, MANY = 2, 7


@pytest.fixture
def grow(office, technician, inspector):
    """Return a function that adds so many rows of everything, all in the same crew's week."""

    def add(count: int) -> None:
        now = timezone.now()
        for _ in range(count):
            survey = SurveyFactory()
            house = survey.installation
            plan = plan_make(survey=survey, by=office, now=now)
            JobFactory(installation=house, created_at=now)
            JobFactory(installation=house, kind=JobKind.REPAIR, status="planned", created_at=now)
            late = JobFactory(installation=house, status="scheduled", plan=plan, created_at=now)
            VisitFactory(job=late, crew=technician.crew, starts_at=now - timedelta(hours=9), ends_at=now)
            begun = JobFactory(installation=house, status="scheduled", plan=plan, created_at=now)
            VisitFactory(job=begun, crew=technician.crew, starts_at=now, ends_at=now + timedelta(hours=2))
            record = record_begin(job=begun, by=technician.user, now=now)
            Defect.objects.create(
                stage=record.stages.first(), description="Loose", opened_by=inspector, opened_at=now
            )
            Permit.objects.create(job=begun, authority="Town")
            ServiceSchedule.objects.create(
                installation=house, kind="sweep", last_done_on=now - timedelta(days=400),
                next_due_on=now - timedelta(days=35),
            )  # fmt: skip
            BookingRequest.objects.create(installation=house, service="inspection", asked_at=now)
            Document.objects.create(
                job=begun, kind="work pack", title="Work pack", context={}, requested_at=now, due_at=now,
                gave_up_at=now, last_error="No font",
            )  # fmt: skip
            mail_queue(to="a@house.example", subject="Due", text="Due", now=now - timedelta(days=2))
            person = TechnicianFactory(crew=technician.crew)
            Credential.objects.create(technician=person, name="Licence", expires_on=now.date())

    return add


def asked(client: Client, path: str) -> int:
    """Return how many questions a page asks; the first showing warms what is kept in memory."""
    client.get(path)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        answer = client.get(path)
    assert answer.status_code == 200
    return len(queries)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("person", "name"),
    [
        *((person, "today") for person in ("owner", "office", "installer", "inspector")),
        *((person, "job_list") for person in ("office", "installer", "inspector")),
        *((person, "customer_list") for person in ("office", "installer")),
        ("office", "week"), ("office", "service_list"), ("office", "mail_list"), ("owner", "staff_list"),
        ("office", "appliance_list"), ("office", "chimney_list"),
    ],
)  # fmt: skip
def test_a_list_asks_no_more_when_it_grows(person, name, grow, as_user, request):
    client = as_user(request.getfixturevalue(person))
    grow(FEW)
    few = asked(client, reverse(name))
    grow(MANY)
    assert asked(client, reverse(name)) == few


@pytest.mark.django_db
def test_a_customer_of_many_houses_asks_no_more_than_one_of_few(office, as_user):
    def add(count: int) -> None:
        for _ in range(count):
            job = JobFactory(installation=InstallationFactory(site__customer=first.site.customer))
            Document.objects.create(
                job=job, kind="work pack", title="P", context={}, requested_at=job.created_at,
                due_at=job.created_at,
            )  # fmt: skip

    first, client = InstallationFactory(), as_user(office)
    path = reverse("customer_detail", args=[first.site.customer_id])
    add(FEW)
    few = asked(client, path)
    add(MANY)
    assert asked(client, path) == few


@pytest.mark.django_db
def test_an_installation_of_many_surveys_asks_no_more_than_one_of_few(office, as_user):
    first, client = SurveyFactory(revision=1), as_user(office)
    path = reverse("installation_detail", args=[first.installation_id])

    def add(revisions: range) -> None:
        for revision in revisions:
            survey = SurveyFactory(installation=first.installation, revision=revision)
            plan = plan_make(survey=survey, by=office, now=survey.made_at)
            JobFactory(installation=first.installation, plan=plan)

    add(range(2, 4))
    few = asked(client, path)
    add(range(4, 10))
    assert asked(client, path) == few


@pytest.mark.django_db
def test_the_sheets_of_many_listings_are_worked_out_once(office, as_user, monkeypatch):
    for _ in range(FEW):
        ApplianceFactory()
        ChimneyFactory()
    client = as_user(office)
    for name in ("appliance_list", "chimney_list"):
        client.get(reverse(name))
    made = []
    monkeypatch.setattr("jobs.queries.listings.make_plan", lambda *given: made.append(given))
    for name in ("appliance_list", "chimney_list"):
        client.get(reverse(name))
    assert made == []


@pytest.mark.django_db
def test_whose_crew_goes_where_is_asked_once_and_not_job_by_job(installer, office):
    now = timezone.now()
    crew = installer.technician.crew
    lists = [
        jobs_visible_to(installer),
        jobs_found(user=office, search=JobSearch(crew=crew), now=now),
        jobs_found(user=office, search=JobSearch(mine=True), now=now),
    ]
    for jobs in lists:
        assert "EXISTS" not in str(jobs.query)


@pytest.mark.django_db
def test_lists_of_jobs_leave_the_plans_where_they_are(office):
    assert '"jobs_plan"."data"' not in str(jobs_visible_to(office).query)
