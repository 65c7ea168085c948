"""Which jobs a tablet takes along."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inspections.queries.tablet_jobs import tablet_jobs
from jobs.models import Job, JobStatus, Shop, Visit
from tests.factories import JobFactory, VisitFactory
from tests.inspections.tablet import Tablet

pytestmark = pytest.mark.django_db


@pytest.fixture
def noon(db):
    """Return noon of a summer's day on the shop's clock."""
    Shop.current()
    return datetime(2026, 7, 1, 16, 0, tzinfo=UTC)


@pytest.fixture
def visit(technician, noon):
    """Return a function that sends the installer's crew to a job of its own."""

    def send(*, days: float, status: str = JobStatus.SCHEDULED, **told) -> Job:
        starts = noon + timedelta(days=days)
        job = JobFactory(status=status, **told)
        VisitFactory(job=job, crew=technician.crew, starts_at=starts, ends_at=starts + timedelta(hours=3))
        return job

    return send


def taken(user, now) -> list[int]:
    return [one.job.pk for one in tablet_jobs(user, now)]


def test_today_and_the_next_days_come_along_in_order(visit, installer, noon):
    later, today, last = visit(days=3), visit(days=0), visit(days=7)
    visit(days=9)
    assert taken(installer, noon) == [today.pk, later.pk, last.pk]


def test_what_was_not_finished_comes_along_first(visit, installer, noon):
    today, left = visit(days=0), visit(days=-5, status=JobStatus.ON_SITE)
    visit(days=-5, status=JobStatus.READY)
    assert taken(installer, noon) == [left.pk, today.pk]


def test_a_cancelled_visit_or_job_stays_at_home(visit, installer, noon):
    visit(days=0).visits.update(cancelled_at=noon)
    visit(days=0, status=JobStatus.CANCELLED)
    assert taken(installer, noon) == []


def test_another_crews_jobs_stay_at_home(visit, stranger, noon):
    visit(days=0)
    assert taken(stranger, noon) == []


def test_who_signs_off_takes_what_is_on_site_or_waits(visit, inspector, owner, installer, noon):
    ready, on_site = visit(days=-20, status=JobStatus.READY), visit(days=-20, status=JobStatus.ON_SITE)
    nobody = JobFactory(status=JobStatus.ON_SITE)
    visit(days=-20, status=JobStatus.CLOSED, closed_at=noon)
    for person in (inspector, owner):
        assert set(taken(person, noon)) == {ready.pk, on_site.pk, nobody.pk}
    assert taken(installer, noon) == [on_site.pk]
    Shop.objects.update(one_person=True)
    assert set(taken(installer, noon)) == {ready.pk, on_site.pk}


def test_the_day_is_that_of_the_house(visit, installer, noon):
    here, there = visit(days=0.4), visit(days=0.4)
    there.installation.site.time_zone = "Europe/London"
    there.installation.site.save()
    days = {one.job.pk: one.day for one in tablet_jobs(installer, noon)}
    assert days == {here.pk: "2026-07-01", there.pk: "2026-07-02"}


def test_the_list_says_what_a_crew_looks_for(as_user, installer, technician):
    now = timezone.now()
    job = JobFactory(status=JobStatus.SCHEDULED)
    VisitFactory(
        job=job, crew=technician.crew, starts_at=now, ends_at=now + timedelta(hours=2), note="Bring ladder"
    )
    answer = Tablet(installer, as_user(installer)).get("tablet_jobs")
    (told,) = answer.json()["jobs"]
    site = job.installation.site
    assert told["job"] == job.pk
    assert told["number"] == job.number
    assert told["customer"] == site.customer.name
    assert site.street in told["address"]
    assert (told["kind"], told["status_words"]) == ("New installation", "Scheduled")
    assert told["day"] == Visit.objects.get().local_start.date().isoformat()
    (planned,) = told["visits"]
    assert (planned["crew"], planned["note"]) == (technician.crew.name, "Bring ladder")
    assert answer.json()["server_time"]


def test_a_job_nobody_goes_to_has_no_day(inspector, noon):
    JobFactory(status=JobStatus.ON_SITE)
    (one,) = tablet_jobs(inspector, noon)
    assert one.day == ""


def test_a_long_list_asks_no_more_than_a_short_one(visit, installer, noon):
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            tablet_jobs(installer, noon)
        return len(queries)

    visit(days=0)
    few = asked()
    for day in range(5):
        visit(days=day)
    assert asked() == few
