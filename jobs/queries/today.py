"""What is somebody's to do today."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from django.db.models import Q, QuerySet
from django.utils import timezone

from jobs.models import Document, JobStatus, OutgoingMail, Role, User, Visit

#: A row that waited longer than this beyond its time is stuck, not busy.
STUCK_AFTER = timedelta(minutes=15)


def visits_of(user: User) -> QuerySet[Visit]:
    """Return the standing visits somebody goes to: those of the own crew, for owners and office of all."""
    visits = Visit.objects.filter(cancelled_at=None).select_related(
        "crew", "job__installation__site__customer", "job__installation__appliance"
    )
    if user.role == Role.INSTALLER:
        return visits.filter(crew__technicians__user=user)
    return visits


def day_bounds(now: datetime) -> tuple[datetime, datetime]:
    """Return the first moments of today and of tomorrow on the shop's clock."""
    today = timezone.localdate(now)
    zone = timezone.get_current_timezone()
    begins, ends = (datetime.combine(day, time(), zone) for day in (today, today + timedelta(days=1)))
    return begins, ends


def visits_today(user: User, now: datetime) -> QuerySet[Visit]:
    """Return today's visits in order."""
    begins, ends = day_bounds(now)
    return visits_of(user).filter(starts_at__gte=begins, starts_at__lt=ends)


def visits_next(user: User, now: datetime) -> QuerySet[Visit]:
    """Return the visits of the two weeks after today."""
    _, ends = day_bounds(now)
    return visits_of(user).filter(starts_at__gte=ends, starts_at__lt=ends + timedelta(days=14))


def visits_unfinished(user: User, now: datetime) -> QuerySet[Visit]:
    """Return visits of earlier days whose job is still waiting to be worked or finished."""
    begins, _ = day_bounds(now)
    return visits_of(user).filter(
        starts_at__lt=begins, job__status__in=[JobStatus.SCHEDULED, JobStatus.ON_SITE]
    )


def mail_stuck(now: datetime) -> QuerySet[OutgoingMail]:
    """Return mail that was given up, that may or may not have left, or that waits too long."""
    waits = Q(due_at__lt=now - STUCK_AFTER) & (Q(claimed_at=None) | Q(claimed_at__lt=now - STUCK_AFTER))
    stuck = OutgoingMail.objects.filter(waits | Q(gave_up_at__isnull=False), done_at=None)
    return stuck.defer("text", "html").order_by("due_at", "pk")


def documents_failed(now: datetime) -> QuerySet[Document]:
    """Return documents the worker gave up or has not rendered for too long."""
    waits = Q(due_at__lt=now - STUCK_AFTER)
    failed = Document.objects.filter(waits | Q(gave_up_at__isnull=False), done_at=None)
    return failed.select_related("job__installation__site").defer("context")
