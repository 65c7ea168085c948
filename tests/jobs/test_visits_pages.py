"""The pages on which a visit is scheduled, changed and called off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import Visit
from tests.factories import CrewFactory, JobFactory, VisitFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return JobFactory(status="planned")


@pytest.fixture
def visit():
    starts = (timezone.now() + timedelta(days=3)).replace(hour=14, minute=0, second=0, microsecond=0)
    return VisitFactory(starts_at=starts, ends_at=starts + timedelta(hours=4))


def url(name, row):
    return reverse(name, args=[row.pk])


def said(crew, **other):
    day = (timezone.now() + timedelta(days=400)).strftime("%Y-07-%d")
    return {"crew": crew.pk, "day": day, "starts": "09:00", "ends": "12:30", "note": "", **other}


class TestAdd:
    def test_it_sends_a_crew_at_the_time_of_the_house(self, as_user, office):
        job = JobFactory(status="planned", installation__site__time_zone="America/Denver")
        crew = CrewFactory()
        client = as_user(office)
        assert "2 h behind the shop" in client.get(url("visit_add", job)).content.decode()
        response = client.post(url("visit_add", job), said(crew, day="2099-07-01"))
        assert response.url == url("job_detail", job)
        visit = Visit.objects.get()
        assert visit.starts_at == datetime(2099, 7, 1, 9, tzinfo=ZoneInfo("America/Denver"))
        assert visit.ends_at == datetime(2099, 7, 1, 12, 30, tzinfo=ZoneInfo("America/Denver"))
        job.refresh_from_db()
        assert job.status == "scheduled"

    # Clocks in New York change at 2 AM on 14 March and 7 November 2027 (tz database).
    @pytest.mark.parametrize(
        ("day", "starts", "sentence"),
        [("2027-03-14", "02:30", "does not exist there"), ("2027-11-07", "01:30", "comes twice there")],
    )
    def test_a_time_the_clock_skips_or_repeats_is_refused_beside_it(
        self, as_user, office, job, *, day, starts, sentence
    ):
        response = as_user(office).post(
            url("visit_add", job), said(CrewFactory(), day=day, starts=starts, note="keep this")
        )
        page = response.content.decode()
        assert sentence in page
        assert "keep this" in page
        assert "starts" in response.context["form"].errors
        assert not Visit.objects.exists()

    def test_a_night_of_changing_clocks_is_as_long_as_it_is(self, as_user, office, job):
        as_user(office).post(
            url("visit_add", job), said(CrewFactory(), day="2027-03-14", starts="01:00", ends="04:00")
        )
        visit = Visit.objects.get()
        assert visit.ends_at - visit.starts_at == timedelta(hours=2)
        assert visit.starts_at == datetime(2027, 3, 14, 6, tzinfo=UTC)

    def test_a_clash_is_shown_and_may_be_ticked_away(self, as_user, office, job, visit):
        client = as_user(office)
        day = visit.local_start.strftime("%Y-%m-%d")
        posted = said(visit.crew, day=day, starts="08:00", ends="20:00")
        page = client.post(url("visit_add", job), posted).content.decode()
        assert f"{visit.crew} is at" in page
        assert 'type="checkbox" name="despite_clash"' in page
        client.post(url("visit_add", job), {**posted, "despite_clash": "on"})
        assert Visit.objects.filter(job=job).exists()

    def test_the_tick_is_not_offered_before_there_is_a_clash(self, as_user, office, job):
        assert 'type="checkbox"' not in as_user(office).get(url("visit_add", job)).content.decode()

    def test_an_end_before_the_start_is_refused(self, as_user, office, job):
        response = as_user(office).post(url("visit_add", job), said(CrewFactory(), ends="08:00"))
        assert "ends before it starts" in response.content.decode()

    def test_an_enquiry_is_refused_with_what_to_do(self, as_user, office):
        response = as_user(office).post(url("visit_add", JobFactory()), said(CrewFactory()))
        assert "attach one before sending a crew" in response.content.decode()

    def test_it_needs_a_login(self, job):
        needs_login(url("visit_add", job))

    def test_a_job_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("visit_add", args=[4711]))

    def test_a_reader_cannot_schedule(self, as_user, technician, inspector, visit):
        for user in (technician.user, inspector):
            forbids(as_user(user), url("visit_add", visit.job), "post")
        assert Visit.objects.count() == 1

    def test_a_wrong_method_is_refused(self, as_user, office, job):
        refuses_method(as_user(office), url("visit_add", job), "put")


class TestEdit:
    def test_it_shows_the_time_of_the_house_and_moves_it(self, as_user, office, visit):
        client = as_user(office)
        form = client.get(url("visit_edit", visit)).context["form"]
        assert form["starts"].value() == visit.local_start.time()
        crew = CrewFactory()
        client.post(url("visit_edit", visit), said(crew, note="gate code 12"))
        visit.refresh_from_db()
        assert (visit.crew, visit.note, visit.local_start.hour) == (crew, "gate code 12", 9)

    def test_a_crew_that_stopped_going_out_is_still_shown(self, as_user, office, visit):
        visit.crew.active = False
        visit.crew.save()
        assert str(visit.crew) in as_user(office).get(url("visit_edit", visit)).content.decode()

    def test_a_cancelled_visit_says_so(self, as_user, office, visit):
        Visit.objects.update(cancelled_at=timezone.now())
        response = as_user(office).post(url("visit_edit", visit), said(visit.crew))
        assert "This visit was cancelled" in response.content.decode()

    def test_it_needs_a_login(self, visit):
        needs_login(url("visit_edit", visit))

    def test_a_visit_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("visit_edit", args=[4711]))

    def test_a_reader_cannot_change_it(self, as_user, technician, inspector, visit):
        for user in (technician.user, inspector):
            forbids(as_user(user), url("visit_edit", visit), "post")

    def test_a_wrong_method_is_refused(self, as_user, office, visit):
        refuses_method(as_user(office), url("visit_edit", visit), "delete")


class TestCancel:
    def test_it_asks_and_cancels(self, as_user, office, visit):
        client = as_user(office)
        assert str(visit.crew) in client.get(url("visit_cancel", visit)).content.decode()
        client.post(url("visit_cancel", visit), {"reason": "roof under snow"})
        visit.job.refresh_from_db()
        assert visit.job.status == "planned"
        page = client.get(url("job_detail", visit.job)).content.decode()
        assert "roof under snow" in page

    def test_a_cancelled_visit_says_so(self, as_user, office, visit):
        Visit.objects.update(cancelled_at=timezone.now())
        response = as_user(office).post(url("visit_cancel", visit), {})
        assert "This visit was cancelled" in response.content.decode()

    def test_it_needs_a_login(self, visit):
        needs_login(url("visit_cancel", visit))

    def test_a_visit_that_is_not_there_is_404(self, as_user, office):
        hides(as_user(office), reverse("visit_cancel", args=[4711]))

    def test_a_reader_cannot_cancel_it(self, as_user, technician, inspector, visit):
        for user in (technician.user, inspector):
            forbids(as_user(user), url("visit_cancel", visit), "post")

    def test_a_wrong_method_is_refused(self, as_user, office, visit):
        refuses_method(as_user(office), url("visit_cancel", visit), "put")
