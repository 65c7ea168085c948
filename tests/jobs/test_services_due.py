"""Services that fall due, customers' requests, and the jobs made of both."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.errors import JobsError
from jobs.models import BookingRequest, Job, Reminder, ServiceSchedule
from jobs.queries.services import service_rows, services_due
from jobs.services.bookings import booking_make_job, booking_set_aside, service_book
from tests.factories import NOW, InstallationFactory, JobFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db
TODAY = date(2026, 5, 4)


def make_service(days=0, today=TODAY, kind="sweep", **rest):
    due = today + timedelta(days=days)
    rest.setdefault("installation", InstallationFactory())
    return ServiceSchedule.objects.create(
        kind=kind, last_done_on=due - timedelta(days=365), next_due_on=due, **rest
    )


def make_booking(kind="sweep", wish="", **rest):
    rest.setdefault("installation", InstallationFactory())
    return BookingRequest.objects.create(service=kind, wish=wish, asked_at=NOW, **rest)


class TestDue:
    def test_a_service_is_overdue_the_day_after_it_was_due(self):
        late, due = make_service(-1), make_service(0)
        rows = service_rows([late, due], today=TODAY)
        assert [row.overdue for row in rows] == [True, False]

    @pytest.mark.parametrize(
        ("span", "days"), [("overdue", [-40, -1]), ("30", [-40, -1, 0, 30]), ("90", [-40, -1, 0, 30, 31, 90])]
    )
    def test_each_span_ends_on_its_day(self, span, days):
        services = {n: make_service(n) for n in (-40, -1, 0, 30, 31, 90, 91)}
        assert list(services_due(today=TODAY, span=span)) == [services[n] for n in days]

    def test_an_ended_service_is_never_due(self):
        make_service(-5, ended_on=TODAY)
        assert list(services_due(today=TODAY, span="all")) == []

    def test_the_row_knows_the_open_job_and_the_last_reminder(self):
        service = make_service(-20)
        job = JobFactory(installation=service.installation, kind="annual sweep", status="planned")
        JobFactory(installation=service.installation, kind="repair")
        for step, outcome in (("30 days before", "stopped"), ("7 days before", "no address")):
            Reminder.objects.create(
                installation=service.installation, service="sweep", due_on=service.next_due_on, step=step,
                outcome=outcome, decided_at=NOW,
            )  # fmt: skip
        row = service_rows([service], today=TODAY)[0]
        assert row.job == job
        assert row.reminder.outcome == "no address"
        assert row.days == 20

    def test_a_closed_sweep_is_not_the_job_of_the_next_one(self):
        service = make_service(3)
        JobFactory(installation=service.installation, kind="annual sweep", status="closed", closed_at=NOW)
        assert service_rows([service], today=TODAY)[0].job is None


class TestBooking:
    @pytest.mark.parametrize(
        ("kind", "job_kind"), [("sweep", "annual sweep"), ("inspection", "inspection level 1")]
    )
    def test_a_due_service_becomes_a_job_ready_to_schedule(self, office, kind, job_kind):
        job = service_book(service=make_service(kind=kind), by=office, now=NOW)
        assert (job.kind, job.status, job.note) == (job_kind, "planned", "Due 4 May 2026.")

    def test_a_service_is_booked_once(self, office):
        service = make_service()
        job = service_book(service=service, by=office, now=NOW)
        with pytest.raises(JobsError, match=job.number) as refused:
            service_book(service=service, by=office, now=NOW)
        assert refused.value.code == "already_booked"
        assert Job.objects.count() == 1

    def test_booking_a_service_answers_the_customers_request_for_it(self, office):
        service = make_service()
        booking = make_booking(installation=service.installation, wish="Mornings")
        job = service_book(service=service, by=office, now=NOW)
        booking.refresh_from_db()
        assert (booking.job, booking.handled_at, booking.handled_by) == (job, NOW, office)
        assert "Mornings" in job.note

    def test_an_ended_service_is_not_booked(self, office):
        with pytest.raises(JobsError) as refused:
            service_book(service=make_service(ended_on=TODAY), by=office, now=NOW)
        assert refused.value.code == "service_ended"

    def test_a_request_becomes_a_job(self, office):
        booking = make_booking("inspection", wish="Tuesdays after four")
        job = booking_make_job(booking=booking, by=office, now=NOW)
        booking.refresh_from_db()
        assert booking.job == job
        assert (job.kind, job.created_by) == ("inspection level 1", office)
        assert "Tuesdays after four" in job.note

    def test_two_people_answer_a_request_once(self, office, owner):
        booking = make_booking()
        stale = BookingRequest.objects.get()
        booking_set_aside(booking=booking, by=office, now=NOW)
        with pytest.raises(JobsError) as refused:
            booking_make_job(booking=stale, by=owner, now=NOW)
        assert refused.value.code == "booking_handled"
        assert not Job.objects.exists()

    def test_a_request_is_refused_while_such_a_job_is_open(self, office):
        booking = make_booking()
        JobFactory(installation=booking.installation, kind="annual sweep", status="scheduled")
        with pytest.raises(JobsError) as refused:
            booking_make_job(booking=booking, by=office, now=NOW)
        assert refused.value.code == "already_booked"
        booking.refresh_from_db()
        assert booking.handled_at is None


class TestPage:
    def test_it_shows_what_is_due_and_who_asks(self, as_user, office):
        today = timezone.localdate()
        late = make_service(-3, today=today)
        booking = make_booking(wish="Not on Fridays")
        make_service(60, today=today)
        response = as_user(office).get(reverse("service_list"))
        page = response.content.decode()
        assert [row.service for row in response.context["rows"]] == [late]
        assert "Overdue 3 days" in page
        assert "Not on Fridays" in page
        assert str(booking.installation.site.customer) in page

    def test_it_finds_and_tells_when_nothing_fits(self, as_user, office):
        make_service(1, today=timezone.localdate())
        client = as_user(office)
        customer = ServiceSchedule.objects.get().installation.site.customer.name
        assert len(client.get(reverse("service_list"), {"q": customer}).context["rows"]) == 1
        page = client.get(reverse("service_list"), {"q": "nobody at all"}).content.decode()
        assert "No service fits" in page

    def test_an_unknown_span_shows_the_usual_one(self, as_user, office):
        assert as_user(office).get(reverse("service_list"), {"span": "x"}).context["span"] == "30"

    def test_an_empty_list_says_where_services_come_from(self, as_user, office):
        assert "when a job is signed off" in as_user(office).get(reverse("service_list")).content.decode()

    def test_the_number_of_queries_does_not_grow(self, as_user, office, django_assert_max_num_queries):
        for n in range(10):
            make_service(n, today=timezone.localdate())
            make_booking()
        client = as_user(office)
        with django_assert_max_num_queries(15):
            client.get(reverse("service_list"))

    def test_it_needs_a_login(self):
        needs_login(reverse("service_list"))

    def test_it_is_the_offices(self, as_user, installer, inspector):
        for user in (installer, inspector):
            forbids(as_user(user), reverse("service_list"))

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), reverse("service_list"), "post")


def _row(name):
    return make_service() if name == "service_job" else make_booking()


@pytest.mark.parametrize("name", ["service_job", "booking_job", "booking_aside"])
class TestButtons:
    def test_it_works_and_says_so_the_second_time(self, as_user, office, name):
        path = reverse(name, args=[_row(name).pk])
        client = as_user(office)
        first = client.post(path, follow=True)
        assert first.status_code == 200
        assert Job.objects.count() == (0 if name == "booking_aside" else 1)
        again = client.post(path, follow=True).content.decode()
        assert "already" in again
        assert Job.objects.count() == (0 if name == "booking_aside" else 1)

    def test_it_needs_a_login(self, name):
        needs_login(reverse(name, args=[_row(name).pk]))

    def test_what_is_not_there_is_404(self, as_user, office, name):
        hides(as_user(office), reverse(name, args=[4711]), "post")

    def test_a_reader_cannot_press_it(self, as_user, installer, inspector, name):
        path = reverse(name, args=[_row(name).pk])
        for user in (installer, inspector):
            forbids(as_user(user), path, "post")
        assert not Job.objects.exists()

    def test_a_wrong_method_is_refused(self, as_user, office, name):
        refuses_method(as_user(office), reverse(name, args=[_row(name).pk]), "get")
