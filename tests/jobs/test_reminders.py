"""Who is reminded, when, and of what; each step once."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from jobs.models import (
    BookingRequest,
    Installation,
    JobKind,
    JobStatus,
    OutgoingMail,
    Reminder,
    ReminderOutcome,
    ReminderStep,
    ServiceKind,
    ServiceSchedule,
    Shop,
)
from jobs.services.reminders import reminders_queue, reminders_start, reminders_stop
from jobs.services.schedule import service_end
from tests.factories import InstallationFactory, JobFactory, VisitFactory

pytestmark = pytest.mark.django_db
DUE = date(2027, 5, 4)
SOURCE = {
    "kind": "code",
    "reference": "NFPA 211",
    "edition": "2012",
    "provenance": "second-hand",
    "interval_months": 12,
}


def service(installation=None, kind=ServiceKind.SWEEP, due=DUE, **changes) -> ServiceSchedule:
    return ServiceSchedule.objects.create(
        installation=installation or InstallationFactory(site__customer__name="Ada Ashdown"),
        kind=kind,
        last_done_on=due - timedelta(days=365),
        next_due_on=due,
        source=SOURCE,
        **changes,
    )


def at(day: date, hour: int = 12, zone: str = "America/New_York") -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=ZoneInfo(zone)).astimezone(UTC)


def before(days: int) -> datetime:
    return at(DUE - timedelta(days=days))


def outcomes() -> dict[str, str]:
    return {reminder.step: reminder.outcome for reminder in Reminder.objects.all()}


def mail() -> OutgoingMail:
    return OutgoingMail.objects.get()


def test_it_reminds_thirty_and_seven_days_before_and_fourteen_after():
    service()
    sent_on = []
    for days in range(40, -30, -1):
        if reminders_queue(now=before(days)):
            sent_on.append(days)
    assert sent_on == [30, 7, -14]
    assert set(outcomes().values()) == {ReminderOutcome.MAILED}
    assert OutgoingMail.objects.count() == 3


def test_asked_again_on_the_same_day_it_sends_nothing_more():
    service()
    assert [reminders_queue(now=before(30) + timedelta(minutes=10 * n)) for n in range(4)] == [1, 0, 0, 0]


def test_after_a_standstill_it_sends_only_the_latest_step():
    service()
    assert reminders_queue(now=before(3)) == 1
    assert outcomes() == {
        ReminderStep.BEFORE_30: ReminderOutcome.PASSED_BY,
        ReminderStep.BEFORE_7: ReminderOutcome.MAILED,
    }
    assert "is due on 4 May 2027" in mail().subject


def test_after_a_long_standstill_it_says_that_the_day_has_passed():
    service()
    assert reminders_queue(now=before(-100)) == 1
    assert sorted(outcomes().values()) == ["mailed", "passed by", "passed by"]
    assert "was due on 4 May 2027" in mail().subject


def test_the_late_step_is_left_out_when_something_is_booked():
    sweep = service()
    JobFactory(installation=sweep.installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.PLANNED)
    assert reminders_queue(now=before(7)) == 1
    assert reminders_queue(now=before(-14)) == 0
    assert outcomes()[ReminderStep.AFTER_14] == ReminderOutcome.BOOKED


def test_the_late_step_is_left_out_when_the_customer_has_asked():
    sweep = service()
    BookingRequest.objects.create(installation=sweep.installation, service="sweep", asked_at=before(10))
    assert reminders_queue(now=before(-14)) == 0
    assert outcomes()[ReminderStep.AFTER_14] == ReminderOutcome.BOOKED


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        (JobKind.REPAIR, JobStatus.PLANNED),
        (JobKind.NEW_INSTALLATION, JobStatus.PLANNED),
        (JobKind.ANNUAL_SWEEP, JobStatus.CANCELLED),
        (JobKind.INSPECTION_1, JobStatus.PLANNED),
    ],
)
def test_a_job_that_does_not_sweep_does_not_count_as_booked(kind, status):
    sweep = service()
    JobFactory(installation=sweep.installation, kind=kind, status=status)
    assert reminders_queue(now=before(-14)) == 1


def test_a_booked_visit_is_named_on_the_clock_of_the_house():
    sweep = service(InstallationFactory(site__time_zone="America/Vancouver"))
    job = JobFactory(installation=sweep.installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.SCHEDULED)
    start = at(date(2027, 4, 30), 9, "America/Vancouver")
    VisitFactory(job=job, starts_at=start, ends_at=start + timedelta(hours=2))
    reminders_queue(now=before(7))
    for body in (mail().text, mail().html):
        assert "We come on Friday, 30 April 2027 at 9:00 AM" in body
        assert "/book/" not in body


def test_a_cancelled_visit_is_not_promised():
    sweep = service()
    job = JobFactory(installation=sweep.installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.PLANNED)
    VisitFactory(job=job, starts_at=at(DUE), ends_at=at(DUE, 14), cancelled_at=before(9))
    reminders_queue(now=before(7))
    assert "We come on" not in mail().text
    assert "asked for already" in mail().text


def test_it_writes_down_that_the_customer_stopped_reminders_and_starts_again_with_the_next_step():
    sweep = service()
    customer = sweep.installation.site.customer
    reminders_stop(customer=customer, now=before(60))
    assert reminders_queue(now=before(30)) == 0
    reminders_start(customer=customer)
    assert reminders_queue(now=before(29)) == 0
    assert reminders_queue(now=before(7)) == 1
    assert outcomes() == {
        ReminderStep.BEFORE_30: ReminderOutcome.STOPPED,
        ReminderStep.BEFORE_7: ReminderOutcome.MAILED,
    }


def test_the_day_reminders_were_first_stopped_stands():
    customer = service().installation.site.customer
    reminders_stop(customer=customer, now=before(60))
    reminders_stop(customer=customer, now=before(50))
    assert customer.reminders_stopped_at == before(60)


@pytest.mark.parametrize("address", ["", "not an address"])
def test_it_writes_down_that_there_is_no_address(address):
    service(InstallationFactory(site__customer__email=address))
    assert reminders_queue(now=before(30)) == 0
    assert outcomes() == {ReminderStep.BEFORE_30: ReminderOutcome.NO_ADDRESS}


def test_an_ended_service_reminds_nobody():
    service_end(service=service(), on=DUE - timedelta(days=100))
    assert reminders_queue(now=before(7)) == 0
    assert not Reminder.objects.exists()


def test_a_service_that_was_done_reminds_for_the_next_date_only():
    sweep = service()
    reminders_queue(now=before(30))
    ServiceSchedule.objects.filter(pk=sweep.pk).update(
        last_done_on=DUE - timedelta(days=10), next_due_on=date(2028, 4, 24)
    )
    assert reminders_queue(now=before(7)) == 0
    assert reminders_queue(now=at(date(2028, 3, 25))) == 1


def test_what_falls_due_on_one_day_goes_out_in_one_mail():
    sweep = service()
    service(sweep.installation, ServiceKind.INSPECTION)
    assert reminders_queue(now=before(30)) == 1
    assert mail().reminders.count() == 2
    assert mail().subject == "Your chimney sweep and yearly inspection are due on 4 May 2027"


def test_of_two_services_only_the_one_not_booked_is_reminded_of_late():
    installation = InstallationFactory(site__country="GB", site__time_zone="Europe/London")
    service(installation)
    service(installation, ServiceKind.INSPECTION)
    JobFactory(installation=installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.PLANNED)
    assert reminders_queue(now=before(-14)) == 1
    late = {reminder.service: reminder.outcome for reminder in Reminder.objects.filter(step="14 days after")}
    assert late == {"sweep": ReminderOutcome.BOOKED, "inspection": ReminderOutcome.MAILED}
    assert mail().subject == "Your yearly inspection was due on 4 May 2027"


def test_two_stoves_of_one_customer_are_reminded_of_each():
    sweep = service()
    service(InstallationFactory(site=sweep.installation.site, room="Kitchen"))
    assert reminders_queue(now=before(30)) == 2


# The day is the house's own: midnight there, not here; the clocks change on 14 March 2027 in the US and on
# 28 March 2027 in the UK (IANA time zone data).
@pytest.mark.parametrize(
    ("zone", "due", "last_moment_before"),
    [
        ("America/New_York", date(2027, 6, 1), datetime(2027, 5, 2, 3, 59, tzinfo=UTC)),
        ("Pacific/Auckland", date(2027, 6, 1), datetime(2027, 5, 1, 11, 59, tzinfo=UTC)),
        ("Pacific/Honolulu", date(2027, 6, 1), datetime(2027, 5, 2, 9, 59, tzinfo=UTC)),
        ("America/New_York", date(2027, 4, 13), datetime(2027, 3, 14, 4, 59, tzinfo=UTC)),
        ("America/New_York", date(2027, 4, 14), datetime(2027, 3, 15, 3, 59, tzinfo=UTC)),
        ("Europe/London", date(2027, 4, 28), datetime(2027, 3, 28, 22, 59, tzinfo=UTC)),
        ("Europe/London", date(2027, 11, 30), datetime(2027, 10, 30, 22, 59, tzinfo=UTC)),
    ],
)
def test_the_step_comes_at_midnight_of_the_house(zone, due, last_moment_before):
    service(InstallationFactory(site__time_zone=zone), due=due)
    assert reminders_queue(now=last_moment_before) == 0
    assert reminders_queue(now=last_moment_before + timedelta(minutes=1)) == 1


# Thirty days before 30 March is 28 or 29 February by the year.
@pytest.mark.parametrize(
    ("due", "first"),
    [
        (date(2027, 3, 30), date(2027, 2, 28)),
        (date(2028, 3, 30), date(2028, 2, 29)),
        (date(2028, 2, 29), date(2028, 1, 30)),
        (date(2027, 1, 30), date(2026, 12, 31)),
    ],
)
def test_leap_days_and_month_ends_and_new_year(due, first):
    service(due=due)
    assert reminders_queue(now=at(first - timedelta(days=1), 23)) == 0
    assert reminders_queue(now=at(first, 0)) == 1


def test_the_mail_says_what_is_due_why_whom_to_ask_and_when_not_to_burn():
    Shop.objects.update_or_create(
        pk=1, defaults={"name": "Lantern Stoves", "phone": "802 555 0142", "email": "office@lantern.example"}
    )
    sweep = service()
    reminders_queue(now=before(30))
    token = sweep.installation.site.customer.link_token
    for body in (mail().text, mail().html):
        for words in (
            "Ada Ashdown",
            "Your chimney sweep is due on 4 May 2027",
            "NFPA 211 (2012) asks for it once a year.",
            "last done on 4 May 2026",
            "Lantern Stoves",
            "802 555 0142",
            f"/c/{token}/book/{sweep.installation_id}/",
            f"/c/{token}/stop/",
            "chimney fire",
            "carbon monoxide alarm",
            "call 911",
            "20 % moisture",
        ):
            assert words in body, words


def test_the_mail_does_not_speak_of_an_edition_nobody_knows():
    sweep = service()
    ServiceSchedule.objects.filter(pk=sweep.pk).update(source={**SOURCE, "edition": "edition not stated"})
    reminders_queue(now=before(30))
    assert "NFPA 211 asks for it once a year." in mail().text


def test_names_in_the_html_are_text_and_never_tags():
    service(InstallationFactory(site__customer__name="Ada <script>alert(1)</script> & Co"))
    reminders_queue(now=before(30))
    assert "<script>" not in mail().html
    assert "Ada <script>alert(1)</script> & Co" in mail().text


# RFC 8058, 3.1: a List-Unsubscribe with an address to post to and List-Unsubscribe-Post beside it.
def test_the_mail_can_be_unsubscribed_with_one_click(settings):
    settings.SITE_URL = "https://stoves.example"
    customer = service().installation.site.customer
    reminders_queue(now=before(30))
    headers = mail().headers
    assert headers["List-Unsubscribe"] == f"<https://stoves.example/c/{customer.link_token}/stop/>"
    assert headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert headers["Auto-Submitted"] == "auto-generated"


def test_it_names_a_mail_address_to_unsubscribe_at_only_if_the_shop_has_one():
    Shop.objects.update_or_create(pk=1, defaults={"email": "office@lantern.example"})
    service()
    reminders_queue(now=before(30))
    ways = mail().headers["List-Unsubscribe"].split(", ")
    assert ways[1] == "<mailto:office@lantern.example?subject=Stop%20reminders>"
    assert mail().headers["Reply-To"] == "office@lantern.example"


def test_trouble_at_one_house_holds_up_no_other(caplog):
    service(InstallationFactory(site__time_zone="Nowhere/At_All"))
    service()
    assert reminders_queue(now=before(30)) == 1
    assert "could not be written" in caplog.text


def test_it_asks_the_database_little_more_when_nothing_is_due(django_assert_max_num_queries):
    for _ in range(5):
        service(due=DUE + timedelta(days=300))
    Installation.objects.first()
    with django_assert_max_num_queries(1):
        assert reminders_queue(now=before(30)) == 0
