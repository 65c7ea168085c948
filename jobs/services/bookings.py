"""Booking: jobs made of what customers ask for and of what falls due."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import (
    OPEN_STATUSES,
    BookingRequest,
    Installation,
    Job,
    JobKind,
    ServiceKind,
    ServiceSchedule,
    User,
)
from jobs.services.jobs import job_create
from jobs.services.schedule import jobs_that_do

#: The job that does a service.
JOB_OF_SERVICE = {
    ServiceKind.SWEEP: JobKind.ANNUAL_SWEEP,
    ServiceKind.INSPECTION: JobKind.INSPECTION_1,
}


@transaction.atomic
def booking_make_job(*, booking: BookingRequest, by: User, now: datetime) -> Job:
    """Make a job of a customer's request; the request counts as handled."""
    note = (
        f"Customer's wish: {booking.wish.strip()}" if booking.wish.strip() else "Asked for by the customer."
    )
    _check_not_booked(booking.installation, booking.service)
    _take(booking, by, now)
    job = job_create(
        installation=booking.installation,
        kind=JOB_OF_SERVICE[ServiceKind(booking.service)],
        by=by,
        now=now,
        note=note,
    )
    BookingRequest.objects.filter(pk=booking.pk).update(job=job)
    booking.job = job
    return job


@transaction.atomic
def booking_set_aside(*, booking: BookingRequest, by: User, now: datetime) -> None:
    """Mark a request as handled without a job, for instance after a telephone call."""
    _take(booking, by, now)


@transaction.atomic
def service_book(*, service: ServiceSchedule, by: User, now: datetime) -> Job:
    """Make the job of a due service; an open request of the customer for it is answered by the same job."""
    if service.ended_on is not None:
        raise JobsError("service_ended", "This service was ended. Open the installation to see why.")
    request = BookingRequest.objects.filter(
        installation=service.installation, service=service.kind, handled_at=None
    ).first()
    if request is not None:
        return booking_make_job(booking=request, by=by, now=now)
    _check_not_booked(service.installation, service.kind)
    return job_create(
        installation=service.installation,
        kind=JOB_OF_SERVICE[ServiceKind(service.kind)],
        by=by,
        now=now,
        note=f"Due {service.next_due_on:%-d %B %Y}.",
    )


def _take(booking: BookingRequest, by: User, now: datetime) -> None:
    taken = BookingRequest.objects.filter(pk=booking.pk, handled_at=None).update(
        handled_at=now, handled_by=by
    )
    if taken != 1:
        raise JobsError("booking_handled", "Somebody else has already dealt with this request.")
    booking.handled_at, booking.handled_by = now, by


def _check_not_booked(installation: Installation, service: str) -> None:
    # The lock makes two clicks on the same service see each other.
    Installation.objects.select_for_update().get(pk=installation.pk)
    kinds = jobs_that_do(service=service, rule_book=installation.site.rule_book)
    job = Job.objects.filter(installation=installation, kind__in=kinds, status__in=OPEN_STATUSES).first()
    if job is not None:
        raise JobsError(
            "already_booked",
            f"{job.number} is already open for this ({job.get_status_display().lower()}). Schedule that one.",
        )
