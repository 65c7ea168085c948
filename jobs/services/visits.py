"""Visits: when a crew goes to a job."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import Crew, Job, JobStatus, User, Visit
from jobs.services.jobs import job_move

#: Statuses in which a crew may still be sent.
MAY_BE_VISITED = (JobStatus.PLANNED, JobStatus.SCHEDULED, JobStatus.ON_SITE)


@transaction.atomic
def visit_schedule(
    *,
    job: Job,
    crew: Crew,
    starts_at: datetime,
    ends_at: datetime,
    by: User,
    now: datetime,
    note: str = "",
    despite_clash: bool = False,
) -> Visit:
    """Send a crew to a job; a planned job becomes scheduled. A crew clash is refused unless told."""
    locked = _locked(job)
    _check_job(locked)
    _check_times(locked, starts_at, ends_at, now)
    _check_crew(crew, starts_at, ends_at, despite_clash)
    visit = Visit.objects.create(job=job, crew=crew, starts_at=starts_at, ends_at=ends_at, note=note.strip())
    if locked.status == JobStatus.PLANNED:
        job_move(job=locked, to=JobStatus.SCHEDULED, by=by, now=now)
    job.status = locked.status
    return visit


@transaction.atomic
def visit_edit(
    *,
    visit: Visit,
    crew: Crew,
    starts_at: datetime,
    ends_at: datetime,
    now: datetime,
    note: str = "",
    despite_clash: bool = False,
) -> Visit:
    """Move a visit to another time or crew."""
    _check_standing(visit)
    _check_job(_locked(visit.job))
    _check_times(visit.job, starts_at, ends_at, now)
    _check_crew(crew, starts_at, ends_at, despite_clash, but=visit)
    changed = Visit.objects.filter(pk=visit.pk, cancelled_at=None).update(
        crew=crew, starts_at=starts_at, ends_at=ends_at, note=note.strip()
    )
    if changed != 1:
        raise _cancelled()
    visit.refresh_from_db()
    return visit


@transaction.atomic
def visit_cancel(*, visit: Visit, by: User, now: datetime, reason: str = "") -> Visit:
    """Call a visit off; a scheduled job without any other visit goes back to planned."""
    _check_standing(visit)
    job = _locked(visit.job)
    if Visit.objects.filter(pk=visit.pk, cancelled_at=None).update(cancelled_at=now) != 1:
        raise _cancelled()
    visit.cancelled_at = now
    if job.status == JobStatus.SCHEDULED and not job.visits.filter(cancelled_at=None).exists():
        job_move(job=job, to=JobStatus.PLANNED, by=by, now=now, reason=reason.strip() or "Visit cancelled")
    visit.job.status = job.status
    return visit


def clashes(*, crew: Crew, starts_at: datetime, ends_at: datetime, but: Visit | None = None) -> list[Visit]:
    """Return the crew's other visits that overlap a time."""
    visits = Visit.objects.filter(
        crew=crew, cancelled_at=None, starts_at__lt=ends_at, ends_at__gt=starts_at
    ).select_related("job__installation__site", "crew")
    return list(visits.exclude(pk=but.pk) if but else visits)


def _locked(job: Job) -> Job:
    # Two visits of one job changed at once must see each other, and the job as it stands now.
    return Job.objects.select_for_update().get(pk=job.pk)


def _cancelled() -> JobsError:
    return JobsError("visit_cancelled", "This visit was cancelled. Schedule a new one from the job's page.")


def _check_standing(visit: Visit) -> None:
    if visit.cancelled_at is not None:
        raise _cancelled()


def _check_job(job: Job) -> None:
    if job.status in MAY_BE_VISITED:
        return
    if job.status == JobStatus.ENQUIRY:
        raise JobsError("job_not_planned", f"{job.number} has no plan: attach one before sending a crew.")
    raise JobsError(
        "job_not_open", f"{job.number} is {job.get_status_display().lower()}: no crew can be sent to it."
    )


def _check_times(job: Job, starts_at: datetime, ends_at: datetime, now: datetime) -> None:
    if ends_at <= starts_at:
        raise JobsError("visit_ends_first", "The visit ends before it starts. Give a later end.")
    if ends_at <= now:
        raise JobsError("visit_in_past", "That time has passed. Give a day and time still to come.")
    zone = ZoneInfo(job.installation.site.time_zone)
    if starts_at.astimezone(zone).date() != ends_at.astimezone(zone).date():
        raise JobsError("visit_past_midnight", "A visit ends on its day. Schedule one visit for each day.")


def _check_crew(
    crew: Crew, starts_at: datetime, ends_at: datetime, despite_clash: bool, but: Visit | None = None
) -> None:
    # The lock makes two people who place the same crew at once see each other.
    locked = Crew.objects.select_for_update().get(pk=crew.pk)
    if not locked.active:
        raise JobsError("crew_inactive", f"{crew} no longer goes out. Choose another crew.")
    if despite_clash:
        return
    for other in clashes(crew=crew, starts_at=starts_at, ends_at=ends_at, but=but):
        raise JobsError(
            "crew_clash",
            f"{crew} is at {other.job.installation.site} ({other.job.number}) from"
            f" {other.local_start:%-d %b %-I:%M %p} to {other.local_end:%-I:%M %p}."
            " Choose another time, or tick “Schedule anyway”.",
        )
