"""What is due, and who asked for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet

from jobs.models import OPEN_STATUSES, BookingRequest, Job, JobKind, Reminder, ServiceKind, ServiceSchedule
from jobs.models.site import RULE_BOOK_OF
from jobs.queries.words import search_words
from jobs.services.schedule import jobs_that_do, services_done_by

#: The spans of the list by name: days ahead; overdue has none.
SPANS = {"overdue": None, "30": 30, "90": 90, "all": 10_000}


def services_due(*, today: date, span: str = "30", text: str = "") -> QuerySet[ServiceSchedule]:
    """Return services that are overdue or fall due within a span, the oldest first."""
    days = SPANS[span]
    last = today - timedelta(days=1) if days is None else today + timedelta(days=days)
    services = ServiceSchedule.objects.filter(ended_on=None, next_due_on__lte=last)
    for word in search_words(text):
        services = services.filter(
            Q(installation__site__customer__name__icontains=word)
            | Q(installation__site__street__icontains=word)
            | Q(installation__site__city__icontains=word)
        )
    return services.select_related("installation__site__customer", "installation__appliance")


def services_unbooked(*, today: date) -> QuerySet[ServiceSchedule]:
    """Return services overdue or due within a month for which no job is open."""
    open_jobs = Job.objects.filter(installation=OuterRef("installation"), status__in=OPEN_STATUSES)
    booked = Q()
    for country, rule_book in RULE_BOOK_OF.items():
        for service in ServiceKind:
            kinds = jobs_that_do(service=service, rule_book=rule_book)
            here = Q(kind=service, installation__site__country=country)
            booked |= here & Q(Exists(open_jobs.filter(kind__in=kinds)))
    return services_due(today=today).filter(~booked)


@dataclass(frozen=True)
class ServiceRow:
    """A service as the list shows it."""

    service: ServiceSchedule
    overdue: bool
    days: int
    job: Job | None
    reminder: Reminder | None


def service_rows(services: list[ServiceSchedule], *, today: date) -> list[ServiceRow]:
    """Return services with the open job that will do each, and the last step of reminding."""
    installations = {service.installation_id for service in services}
    open_jobs = Job.objects.filter(installation__in=installations, status__in=OPEN_STATUSES)
    jobs = {
        (job.installation_id, kind): job
        for job in open_jobs.exclude(kind=JobKind.NEW_INSTALLATION).select_related("installation__site")
        for kind in services_done_by(kind=job.kind, rule_book=job.installation.site.rule_book)
    }
    reminders = {
        (reminder.installation_id, reminder.service, reminder.due_on): reminder
        for reminder in Reminder.objects.filter(installation__in=installations).order_by("decided_at", "pk")
    }
    return [
        ServiceRow(
            service=service,
            overdue=service.is_overdue(today),
            days=abs((service.next_due_on - today).days),
            job=jobs.get((service.installation_id, ServiceKind(service.kind))),
            reminder=reminders.get((service.installation_id, service.kind, service.next_due_on)),
        )
        for service in services
    ]


def bookings_open() -> QuerySet[BookingRequest]:
    """Return what customers asked for and nobody has answered, the oldest first."""
    return BookingRequest.objects.filter(handled_at=None).select_related("installation__site__customer")
