"""The week: crews by days on the shop's clock, clashes, credentials, and placing a waiting job."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import Credential, Shop, Visit
from jobs.queries.week import monday_of, week_rows
from tests.factories import NOW, CrewFactory, JobFactory, TechnicianFactory, VisitFactory
from tests.jobs.five import forbids, needs_login, refuses_method

pytestmark = pytest.mark.django_db
MONDAY = date(2026, 5, 4)
HOUR = timedelta(hours=1)


def rows(monday=MONDAY, zone="America/New_York", now=NOW):
    return week_rows(monday=monday, zone=zone, now=now)


def by_day(row):
    return {cell.day: [slot.visit for slot in cell.visits] for cell in row.cells if cell.visits}


def test_a_week_begins_on_monday():
    assert [monday_of(MONDAY + timedelta(days=n)) for n in (0, 3, 6, 7)] == [
        MONDAY, MONDAY, MONDAY, date(2026, 5, 11),
    ]  # fmt: skip


def test_a_visit_stands_on_the_day_of_the_shops_clock():
    # 03:30 UTC on 6 May is still 5 May in New York, and 6 May in London.
    visit = VisitFactory(starts_at=datetime(2026, 5, 6, 3, 30, tzinfo=UTC), ends_at=NOW + 50 * HOUR)
    assert by_day(rows()[0]) == {date(2026, 5, 5): [visit]}
    assert by_day(rows(zone="Europe/London")[0]) == {date(2026, 5, 6): [visit]}


def test_the_week_the_clocks_go_forward_has_all_its_visits():
    zone = ZoneInfo("America/New_York")
    first = datetime(2026, 3, 2, 0, 30, tzinfo=zone)
    last = datetime(2026, 3, 8, 23, 30, tzinfo=zone)
    crew = CrewFactory()
    visits = [VisitFactory(crew=crew, starts_at=at, ends_at=at + HOUR / 4) for at in (first, last)]
    VisitFactory(crew=crew, starts_at=datetime(2026, 3, 9, 0, 5, tzinfo=zone), ends_at=NOW)
    assert by_day(rows(monday=date(2026, 3, 2))[0]) == {first.date(): [visits[0]], last.date(): [visits[1]]}


def test_cancelled_visits_and_other_weeks_are_left_out():
    VisitFactory(cancelled_at=NOW)
    VisitFactory(starts_at=NOW + timedelta(days=7), ends_at=NOW + timedelta(days=7, hours=1))
    assert all(by_day(row) == {} for row in rows())


def test_a_crew_out_of_service_is_shown_only_with_its_visits():
    CrewFactory(active=False)
    visit = VisitFactory(crew__active=False)
    assert [row.crew for row in rows()] == [visit.crew]


def test_overlapping_visits_of_a_crew_are_marked_both():
    first = VisitFactory(starts_at=NOW + HOUR, ends_at=NOW + 3 * HOUR)
    VisitFactory(crew=first.crew, starts_at=NOW + 2 * HOUR, ends_at=NOW + 4 * HOUR)
    VisitFactory(crew=first.crew, starts_at=NOW + 4 * HOUR, ends_at=NOW + 5 * HOUR)
    slots = [slot.clashes for cell in rows()[0].cells for slot in cell.visits]
    assert slots == [True, True, False]


def test_a_credential_is_told_of_before_it_expires_and_once_it_has():
    technician = TechnicianFactory()
    for name, days in (("gone", -1), ("last day", 0), ("soon", 29), ("later", 30), ("never", None)):
        expires = None if days is None else MONDAY + timedelta(days=days)
        Credential.objects.create(technician=technician, name=name, expires_on=expires)
    told = {one.credential.name: one.expired for one in rows()[0].warnings}
    assert told == {"gone": True, "last day": False, "soon": False}


def test_a_credential_that_expires_before_a_later_week_is_expired_there():
    technician = TechnicianFactory()
    Credential.objects.create(technician=technician, name="licence", expires_on=MONDAY + timedelta(days=3))
    assert [one.expired for one in rows(monday=MONDAY + timedelta(days=7))[0].warnings] == [True]


def test_somebody_who_left_is_not_warned_about():
    technician = TechnicianFactory(user__is_active=False)
    Credential.objects.create(technician=technician, name="licence", expires_on=MONDAY)
    assert rows()[0].warnings == []
    assert rows()[0].people == []


@pytest.fixture
def coming_day():
    return timezone.localdate() + timedelta(days=8)


def test_the_page_shows_a_week_and_its_neighbours(as_user, office):
    visit = VisitFactory()
    page = as_user(office).get(reverse("week"), {"day": "2026-05-06"}).content.decode()
    assert "4 May" in page or "May 4" in page
    assert str(visit.job.installation.site.customer) in page
    assert "?day=2026-04-27" in page
    assert "?day=2026-05-11" in page


def test_a_house_elsewhere_shows_its_own_clock(as_user, office):
    VisitFactory(job__installation__site__time_zone="America/Chicago")
    page = as_user(office).get(reverse("week"), {"day": "2026-05-06"}).content.decode()
    assert "11 AM – 5 PM" in page
    assert "10 AM – 4 PM CDT" in page


@pytest.mark.parametrize("day", ["", "yesterday", "2026-02-30", "0001-01-01", "9999-12-31", "2026-13-01"])
def test_a_day_that_is_none_shows_this_week(as_user, office, day):
    CrewFactory()
    response = as_user(office).get(reverse("week"), {"day": day})
    assert response.context["monday"] == monday_of(timezone.localdate())


def test_a_shop_without_crews_is_told_what_to_do(as_user, owner, office):
    assert "Add a crew" in as_user(owner).get(reverse("week")).content.decode()
    assert "the owner adds it" in as_user(office).get(reverse("week")).content.decode()


def test_a_waiting_job_is_placed_on_the_clock_of_the_house(as_user, office, coming_day):
    crew = CrewFactory()
    job = JobFactory(status="planned", installation__site__time_zone="America/Los_Angeles")
    client = as_user(office)
    assert job in client.get(reverse("week")).context["waiting"]
    response = client.post(
        reverse("week"),
        {"job": job.pk, "crew": crew.pk, "day": coming_day.isoformat(), "starts": "08:30", "length": "90"},
    )
    assert response.url == f"{reverse('week')}?day={coming_day.isoformat()}"
    visit = Visit.objects.get()
    zone = ZoneInfo("America/Los_Angeles")
    assert visit.starts_at == datetime(coming_day.year, coming_day.month, coming_day.day, 8, 30, tzinfo=zone)
    assert visit.ends_at - visit.starts_at == timedelta(minutes=90)
    assert not client.get(reverse("week")).context["waiting"].exists()


def test_a_clash_is_shown_and_nothing_typed_is_lost(as_user, office, coming_day):
    starts = datetime(coming_day.year, coming_day.month, coming_day.day, 16, tzinfo=UTC)
    visit = VisitFactory(starts_at=starts, ends_at=starts + HOUR)
    job = JobFactory(status="planned")
    posted = {
        "job": job.pk, "crew": visit.crew.pk, "day": coming_day.isoformat(),
        "starts": "08:00", "length": "600",
    }  # fmt: skip
    client = as_user(office)
    response = client.post(reverse("week"), posted)
    page = response.content.decode()
    assert f"{visit.crew} is at" in page
    assert f'value="{job.pk}" required checked' in page
    assert 'type="checkbox" name="despite_clash"' in page
    client.post(reverse("week"), {**posted, "despite_clash": "on"})
    assert Visit.objects.filter(job=job).exists()


def test_a_job_must_be_chosen(as_user, office, coming_day):
    JobFactory(status="planned")
    response = as_user(office).post(
        reverse("week"),
        {"crew": CrewFactory().pk, "day": coming_day.isoformat(), "starts": "08:00", "length": "60"},
    )
    assert "Choose which job to place" in response.content.decode()


def test_a_job_somebody_else_placed_meanwhile_is_not_placed_twice(as_user, office, coming_day):
    visit = VisitFactory()
    as_user(office).post(
        reverse("week"),
        {
            "job": visit.job_id, "crew": visit.crew_id, "day": coming_day.isoformat(), "starts": "08:00",
            "length": "60",
        },
    )  # fmt: skip
    assert Visit.objects.count() == 1


def test_choosing_a_cell_fills_the_form(as_user, office, coming_day):
    crew = CrewFactory()
    job = JobFactory(status="planned")
    response = as_user(office).get(
        reverse("week"), {"day": coming_day.isoformat(), "crew": crew.pk, "job": job.pk}
    )
    page = response.content.decode()
    assert f'value="{coming_day.isoformat()}"' in page
    assert f'<option value="{crew.pk}" selected' in page
    assert f'value="{job.pk}" required checked' in page


def test_the_number_of_queries_does_not_grow(as_user, office, django_assert_max_num_queries):
    for _ in range(8):
        visit = VisitFactory(starts_at=timezone.now(), ends_at=timezone.now() + HOUR)
        technician = TechnicianFactory(crew=visit.crew)
        Credential.objects.create(technician=technician, name="licence", expires_on=timezone.localdate())
    client = as_user(office)
    with django_assert_max_num_queries(15):
        client.get(reverse("week"))


def test_it_needs_a_login():
    needs_login(reverse("week"))


def test_only_the_office_opens_it_or_places_a_visit(as_user, installer, inspector):
    for user in (installer, inspector):
        forbids(as_user(user), reverse("week"))
        forbids(as_user(user), reverse("week"), "post")


def test_a_wrong_method_is_refused(as_user, office):
    refuses_method(as_user(office), reverse("week"), "delete")


def test_the_week_is_that_of_the_shops_own_clock(as_user, office):
    Shop.current()
    Shop.objects.update(time_zone="Europe/London")
    VisitFactory()
    page = as_user(office).get(reverse("week"), {"day": "2026-05-06"}).content.decode()
    assert "4 PM – 10 PM" in page
