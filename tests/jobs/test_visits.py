"""Scheduling visits: clashes, clocks, and the way back to planned."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta

import pytest

from jobs.errors import JobsError
from jobs.models import JobStatus, Visit
from jobs.services.clock import local_moment
from jobs.services.visits import visit_cancel, visit_edit, visit_schedule
from tests.factories import NOW, CrewFactory, JobFactory, VisitFactory

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def schedule(job, office, *, crew=None, starts=NOW + HOUR, hours=3, **rest):
    return visit_schedule(
        job=job, crew=crew or CrewFactory(), starts_at=starts, ends_at=starts + hours * HOUR, by=office,
        now=NOW, **rest,
    )  # fmt: skip


@contextmanager
def refused(code):
    with pytest.raises(JobsError) as caught:
        yield caught
    assert caught.value.code == code


def test_the_first_visit_makes_a_planned_job_scheduled(office):
    job = JobFactory(status=JobStatus.PLANNED)
    visit = schedule(job, office, note=" ring twice ")
    job.refresh_from_db()
    assert job.status == JobStatus.SCHEDULED
    assert visit.note == "ring twice"
    assert job.status_changes.get().by == office


def test_a_second_visit_leaves_the_status(office):
    job = JobFactory(status=JobStatus.ON_SITE)
    schedule(job, office)
    assert job.status == JobStatus.ON_SITE
    assert not job.status_changes.exists()


@pytest.mark.parametrize("status", ["ready for sign-off", "cancelled"])
def test_no_crew_is_sent_to_a_job_that_is_over(office, status):
    with refused("job_not_open"):
        schedule(JobFactory(status=status), office)


def test_no_crew_is_sent_before_there_is_a_plan(office):
    with refused("job_not_planned"):
        schedule(JobFactory(), office)


def test_a_clash_is_refused_with_where_the_crew_is(office):
    other = VisitFactory(starts_at=NOW + 2 * HOUR, ends_at=NOW + 5 * HOUR)
    with refused("crew_clash") as caught:
        schedule(JobFactory(status="planned"), office, crew=other.crew)
    assert other.job.number in caught.value.sentence
    assert "4 May 1:00 PM to 4:00 PM" in caught.value.sentence
    assert Visit.objects.count() == 1


def test_a_clash_is_accepted_when_told(office):
    other = VisitFactory(starts_at=NOW + 2 * HOUR, ends_at=NOW + 5 * HOUR)
    schedule(JobFactory(status="planned"), office, crew=other.crew, despite_clash=True)
    assert Visit.objects.count() == 2


def test_visits_that_touch_do_not_clash(office):
    other = VisitFactory(starts_at=NOW + 4 * HOUR, ends_at=NOW + 5 * HOUR)
    schedule(JobFactory(status="planned"), office, crew=other.crew)


def test_a_cancelled_visit_does_not_clash(office):
    other = VisitFactory(starts_at=NOW + HOUR, ends_at=NOW + 5 * HOUR, cancelled_at=NOW)
    schedule(JobFactory(status="planned"), office, crew=other.crew)


def test_a_visit_does_not_clash_with_itself(office):
    visit = VisitFactory(starts_at=NOW + HOUR, ends_at=NOW + 5 * HOUR)
    visit_edit(
        visit=visit, crew=visit.crew, starts_at=NOW + 2 * HOUR, ends_at=NOW + 6 * HOUR, now=NOW, note="later"
    )
    visit.refresh_from_db()
    assert (visit.starts_at, visit.note) == (NOW + 2 * HOUR, "later")


def test_a_moved_visit_may_clash_too(office):
    other = VisitFactory(starts_at=NOW + HOUR, ends_at=NOW + 5 * HOUR)
    visit = VisitFactory()
    with refused("crew_clash"):
        visit_edit(visit=visit, crew=other.crew, starts_at=NOW + HOUR, ends_at=NOW + 2 * HOUR, now=NOW)


@pytest.mark.parametrize(
    ("starts", "hours", "code"),
    [(HOUR, 0, "visit_ends_first"), (-3 * HOUR, 2, "visit_in_past"), (9 * HOUR, 6, "visit_past_midnight")],
)
def test_times_that_cannot_be_meant_are_refused(office, starts, hours, code):
    with refused(code):
        schedule(JobFactory(status="planned"), office, starts=NOW + starts, hours=hours)


def test_midnight_is_that_of_the_house(office):
    # 15:00 UTC + 9 h is 8 PM in New York but 1 AM in London.
    job = JobFactory(status="planned", installation__site__time_zone="Europe/London")
    with refused("visit_past_midnight"):
        schedule(job, office, starts=NOW + 7 * HOUR, hours=3)
    schedule(JobFactory(status="planned"), office, starts=NOW + 7 * HOUR, hours=3)


def test_a_crew_that_no_longer_goes_out_is_refused(office):
    with refused("crew_inactive"):
        schedule(JobFactory(status="planned"), office, crew=CrewFactory(active=False))


def test_cancelling_the_last_visit_brings_the_job_back_to_planned(office):
    visit = VisitFactory()
    second = VisitFactory(job=visit.job)
    visit_cancel(visit=visit, by=office, now=NOW)
    visit.job.refresh_from_db()
    assert visit.job.status == JobStatus.SCHEDULED
    visit_cancel(visit=second, by=office, now=NOW, reason="snow")
    second.job.refresh_from_db()
    assert second.job.status == JobStatus.PLANNED
    assert second.job.status_changes.get().reason == "snow"


def test_cancelling_a_visit_of_a_job_on_site_leaves_it_there(office):
    visit = VisitFactory(job__status=JobStatus.ON_SITE)
    visit_cancel(visit=visit, by=office, now=NOW)
    visit.job.refresh_from_db()
    assert visit.job.status == JobStatus.ON_SITE


def test_a_visit_is_cancelled_once(office):
    visit = VisitFactory()
    stale = Visit.objects.get(pk=visit.pk)
    visit_cancel(visit=visit, by=office, now=NOW)
    for other in (visit, stale):
        with refused("visit_cancelled"):
            visit_cancel(visit=other, by=office, now=NOW)
    with refused("visit_cancelled"):
        visit_edit(visit=stale, crew=stale.crew, starts_at=NOW + HOUR, ends_at=NOW + 2 * HOUR, now=NOW)


# The dates on which clocks change are those of the tz database: United States 8 March and 1 November 2026,
# United Kingdom 29 March and 25 October 2026; Arizona does not change.
@pytest.mark.parametrize(
    ("day", "at", "zone", "utc"),
    [
        (date(2026, 7, 1), time(9), "America/New_York", datetime(2026, 7, 1, 13, tzinfo=UTC)),
        (date(2026, 1, 5), time(9), "America/New_York", datetime(2026, 1, 5, 14, tzinfo=UTC)),
        (date(2026, 3, 8), time(1, 59), "America/New_York", datetime(2026, 3, 8, 6, 59, tzinfo=UTC)),
        (date(2026, 3, 8), time(3), "America/New_York", datetime(2026, 3, 8, 7, tzinfo=UTC)),
        (date(2026, 11, 1), time(2), "America/New_York", datetime(2026, 11, 1, 7, tzinfo=UTC)),
        (date(2026, 3, 8), time(2, 30), "America/Phoenix", datetime(2026, 3, 8, 9, 30, tzinfo=UTC)),
        (date(2026, 3, 29), time(8), "Europe/London", datetime(2026, 3, 29, 7, tzinfo=UTC)),
    ],
)
def test_a_time_is_that_of_the_clock_at_the_house(day, at, zone, utc):
    assert local_moment(day=day, at=at, zone=zone).astimezone(UTC) == utc


@pytest.mark.parametrize(
    ("day", "at", "zone"),
    [
        (date(2026, 3, 8), time(2), "America/New_York"),
        (date(2026, 3, 8), time(2, 59), "America/Chicago"),
        (date(2026, 3, 29), time(1, 30), "Europe/London"),
    ],
)
def test_a_time_the_clock_skips_is_refused(day, at, zone):
    with refused("time_skipped") as caught:
        local_moment(day=day, at=at, zone=zone)
    assert "an hour later" in caught.value.sentence


@pytest.mark.parametrize(
    ("day", "at", "zone"),
    [
        (date(2026, 11, 1), time(1), "America/New_York"),
        (date(2026, 11, 1), time(1, 59), "America/Denver"),
        (date(2026, 10, 25), time(1, 30), "Europe/London"),
    ],
)
def test_a_time_the_clock_shows_twice_is_refused(day, at, zone):
    with refused("time_twice") as caught:
        local_moment(day=day, at=at, zone=zone)
    assert "1 November 2026 comes twice" in caught.value.sentence or "25 October" in caught.value.sentence
