"""Whether somebody already comes for a service, and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from jobs.models import OPEN_STATUSES, BookingRequest, Installation, Job, ServiceKind, Visit
from jobs.services.bookings import JOB_OF_SERVICE
from jobs.services.schedule import jobs_that_do


@dataclass(frozen=True)
class Booked:
    """What stands between a due date and a reminder: a job, its visit, or the customer's wish."""

    job: Job | None = None
    visit: Visit | None = None
    request: BookingRequest | None = None

    @property
    def visit_words(self) -> str:
        """When the crew comes, on the clock of the house; empty while no day is set."""
        # In words, because a template would turn a time to the clock of whoever renders it.
        return f"{self.visit.local_start:%A, %-d %B %Y at %-I:%M %p}" if self.visit else ""


def booked_for(installation: Installation, service: str, now: datetime) -> Booked | None:
    """Return what is booked for a service of an installation, None if nothing is."""
    kinds = jobs_that_do(service=service, rule_book=installation.site.rule_book)
    jobs = Job.objects.filter(installation=installation, kind__in=kinds, status__in=OPEN_STATUSES)
    visits = Visit.objects.filter(job__in=jobs, cancelled_at=None)
    visit = visits.filter(ends_at__gte=now).select_related("job__installation__site").first()
    if visit is not None:
        return Booked(job=visit.job, visit=visit)
    job = jobs.order_by("created_at", "pk").first()
    if job is not None:
        return Booked(job=job)
    services = [kind for kind in ServiceKind if JOB_OF_SERVICE[kind] in kinds]
    asked = BookingRequest.objects.filter(
        installation=installation, service__in=services, handled_at=None
    ).first()
    return Booked(request=asked) if asked else None
