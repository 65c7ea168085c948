"""The boxes of the Today page that this app fills."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from jobs.models import (
    Appliance,
    Chimney,
    Customer,
    Heartbeat,
    Job,
    JobStatus,
    Role,
    Shop,
    Technician,
    User,
)
from jobs.panels import Panel, register_panel
from jobs.permissions import BOOKS, SITE_WORK
from jobs.queries import today as asked
from jobs.queries.jobs import (
    job_row,
    jobs_late,
    jobs_overdue,
    jobs_to_schedule,
    jobs_visible_to,
    standing_visits,
)
from jobs.queries.services import bookings_open, service_rows, services_unbooked

#: Longer lists are read on their own page.
SHOWN = 8


def register() -> None:
    """Register this app's panels."""
    everyone_out = (*SITE_WORK, Role.OFFICE)
    panels = (
        ("first steps", 0, BOOKS, first_steps),
        ("worker", 5, BOOKS, worker_silent),
        ("visits today", 10, everyone_out, visits_today),
        ("unfinished", 15, (Role.INSTALLER,), unfinished),
        ("late", 20, BOOKS, late),
        ("bookings", 30, BOOKS, bookings),
        ("enquiries", 40, BOOKS, enquiries),
        ("to schedule", 50, BOOKS, to_schedule),
        ("services due", 60, BOOKS, services),
        ("mail", 70, BOOKS, mail),
        ("documents", 80, BOOKS, documents),
        ("visits next", 90, SITE_WORK, visits_next),
    )
    for name, order, roles, make in panels:
        register_panel(name=name, order=order, roles=roles, make=make)


@dataclass(frozen=True)
class Step:
    """One thing a new shop does first."""

    label: str
    why: str
    url: str
    done: bool


def first_steps(user: User, now: datetime) -> Panel:
    """What a brand-new shop does first; gone once there is a customer and all else is there."""
    steps = []
    if user.is_owner:
        named = Shop.current().name != Shop._meta.get_field("name").default
        crew = Technician.objects.filter(crew__isnull=False).exists()
        steps = [
            Step("Set up the shop", "Name, address, clock and units.", reverse("shop_settings"), named),
            Step("Add your people", "Somebody in a crew can be sent out.", reverse("staff_list"), crew),
        ]
    listings = Appliance.objects.exists() and Chimney.objects.exists()
    steps += [
        Step("Enter listings", "An appliance and a chimney, from the maker's sheets.",
             reverse("appliance_list"), listings),
        Step("Add a customer", "Then their house, the installation and its survey.",
             reverse("customer_add"), Customer.objects.exists()),
    ]  # fmt: skip
    done = all(step.done for step in steps)
    return Panel("First steps", "jobs/today/steps.html", [] if done else steps)


def worker_silent(user: User, now: datetime) -> Panel:
    """Warn when nothing works in the background."""
    heartbeat = Heartbeat.objects.filter(name="worker").first()
    silent = heartbeat is None or heartbeat.is_silent(now)
    rows = [heartbeat.seen_at if heartbeat else None] if silent else []
    return Panel("The background worker is silent", "jobs/today/worker.html", rows)


def visits_today(user: User, now: datetime) -> Panel:
    """Today's visits; for an installer the own ones."""
    empty = "Nobody goes out today."
    if user.role == Role.INSTALLER:
        empty = "No visit today. The office puts visits here as it schedules them."
    return Panel("Today's visits", "jobs/today/visits.html", list(asked.visits_today(user, now)), empty)


def visits_next(user: User, now: datetime) -> Panel:
    """The visits of the next days."""
    visits = list(asked.visits_next(user, now)[:SHOWN])
    empty = "Nothing scheduled in the next two weeks." if user.role == Role.INSTALLER else ""
    return Panel("Next visits", "jobs/today/visits.html", visits, empty)


def unfinished(user: User, now: datetime) -> Panel:
    """Earlier visits whose job is not finished."""
    return Panel("Unfinished", "jobs/today/visits.html", list(asked.visits_unfinished(user, now)[:SHOWN]))


def late(user: User, now: datetime) -> Panel:
    """Jobs nobody began in time or nobody comes back to."""
    jobs = jobs_visible_to(user)
    wanted = jobs_late(jobs, now) | jobs_overdue(jobs, now)
    return _jobs_panel("Late", wanted.order_by("created_at"), now)


def enquiries(user: User, now: datetime) -> Panel:
    """Enquiries that wait for a survey and a plan."""
    jobs = jobs_visible_to(user).filter(status=JobStatus.ENQUIRY).order_by("created_at")
    return _jobs_panel("Enquiries to plan", jobs, now, "?status=enquiry", "No enquiry waits for a plan.")


def to_schedule(user: User, now: datetime) -> Panel:
    """Planned jobs without a visit."""
    jobs = jobs_to_schedule(jobs_visible_to(user))
    panel = _jobs_panel("Planned, no visit yet", jobs, now, empty="Every planned job has its visit.")
    return Panel(
        panel.title, panel.template, panel.rows, panel.empty, reverse("week"), "Open the week", panel.count
    )


def bookings(user: User, now: datetime) -> Panel:
    """What customers asked for."""
    return Panel("Customers ask for a booking", "jobs/today/bookings.html", list(bookings_open()))


def services(user: User, now: datetime) -> Panel:
    """Services overdue or due within a month that no job is open for."""
    today = timezone.localdate(now)
    due = services_unbooked(today=today)
    rows = service_rows(list(due[:SHOWN]), today=today)
    return Panel(
        "Services due", "jobs/today/services.html", rows,
        more_url=reverse("service_list"), more_label="All services due", count=due.count(),
    )  # fmt: skip


def mail(user: User, now: datetime) -> Panel:
    """Mail that did not leave."""
    return Panel(
        "Mail that did not leave", "jobs/today/mail.html", list(asked.mail_stuck(now)[:SHOWN]),
        more_url=reverse("mail_list"), more_label="Open the mail",
    )  # fmt: skip


def documents(user: User, now: datetime) -> Panel:
    """Documents that were not rendered."""
    rows = list(asked.documents_failed(now)[:SHOWN])
    return Panel("Documents not rendered", "jobs/today/documents.html", rows)


def _jobs_panel(title: str, jobs: QuerySet[Job], now: datetime, query: str = "", empty: str = "") -> Panel:
    shown, count = jobs.prefetch_related(standing_visits())[:SHOWN], jobs.count()
    more_url = reverse("job_list") + query if query and count > SHOWN else ""
    return Panel(
        title, "jobs/today/jobs.html", [job_row(job, now) for job in shown], empty, more_url, "See all", count
    )
