"""Which jobs somebody may see, and how they are found."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from jobs.models import OPEN_STATUSES, Crew, Job, JobStatus, Role, User, Visit
from jobs.queries.words import search_words

_NUMBER = re.compile(r"(?:j-?)?0*([1-9]\d{0,17})", re.IGNORECASE)


def jobs_visible_to(user: User) -> QuerySet[Job]:
    """Return all jobs, or for an installer those the own crew is or was sent to."""
    jobs = Job.objects.select_related(
        "installation__site__customer", "installation__appliance", "installation__chimney", "plan"
    ).defer("plan__data")
    return jobs.filter(in_visible_jobs(user, "pk"))


def in_visible_jobs(user: User, path: str) -> Q:
    """Return the condition that a row belongs to a job a user may see; `path` leads from the row to it."""
    if user.role != Role.INSTALLER:
        return Q()
    return Q(**{f"{path}__in": _sent(crew__technicians__user=user)})


def jobs_late(jobs: QuerySet[Job], now: datetime) -> QuerySet[Job]:
    """Narrow to jobs whose crew should have been there and has not begun."""
    return jobs.filter(Exists(_standing(starts_at__lt=now)), status=JobStatus.SCHEDULED)


def jobs_overdue(jobs: QuerySet[Job], now: datetime) -> QuerySet[Job]:
    """Narrow to jobs begun on site whose last visit is over and nobody is to come again."""
    return jobs.filter(~Exists(_standing(ends_at__gte=now)), status=JobStatus.ON_SITE)


def jobs_to_schedule(jobs: QuerySet[Job]) -> QuerySet[Job]:
    """Narrow to planned jobs that no crew is sent to, the longest waiting first."""
    return jobs.filter(~Exists(_standing()), status=JobStatus.PLANNED).order_by("created_at", "pk")


@dataclass(frozen=True)
class JobSearch:
    """What somebody looks for. An empty status means every open job."""

    status: str = ""
    kind: str = ""
    crew: Crew | None = None
    when: str = ""
    mine: bool = False
    text: str = ""


def jobs_found(*, user: User, search: JobSearch, now: datetime) -> QuerySet[Job]:
    """Return the jobs a person looks for, among those they may see."""
    jobs = jobs_visible_to(user)
    if search.status == "":
        jobs = jobs.filter(status__in=OPEN_STATUSES)
    elif search.status != "all":
        jobs = jobs.filter(status=search.status)
    if search.kind:
        jobs = jobs.filter(kind=search.kind)
    if search.crew:
        jobs = jobs.filter(pk__in=_sent(crew=search.crew))
    if search.when == "late":
        jobs = jobs_late(jobs, now)
    elif search.when == "overdue":
        jobs = jobs_overdue(jobs, now)
    if search.mine:
        jobs = jobs.filter(Q(created_by=user) | Q(pk__in=_sent(crew__technicians__user=user)))
    for word in search_words(search.text):
        jobs = jobs.filter(_matches(word))
    return jobs.prefetch_related(standing_visits())


def standing_visits() -> Prefetch[str]:
    """Prefetch a job's visits that were not cancelled, as `standing_visits`."""
    visits = Visit.objects.filter(cancelled_at=None).select_related("crew", "job__installation__site")
    return Prefetch("visits", queryset=visits, to_attr="standing_visits")


@dataclass(frozen=True)
class JobRow:
    """A job as a list shows it."""

    job: Job
    visit: Visit | None
    late: bool
    overdue: bool


def job_row(job: Job, now: datetime) -> JobRow:
    """Return a job with the visit that matters now: the next one, else the last."""
    visits: list[Visit] = job.standing_visits  # type: ignore[attr-defined]
    ahead = [visit for visit in visits if visit.ends_at >= now]
    return JobRow(
        job=job,
        visit=ahead[0] if ahead else (visits[-1] if visits else None),
        late=any(visit.is_late(now) for visit in visits),
        overdue=job.status == JobStatus.ON_SITE and not ahead,
    )


def _standing(**which: object) -> QuerySet[Visit]:
    return Visit.objects.filter(job=OuterRef("pk"), cancelled_at=None, **which)


def _sent(**whom: object) -> QuerySet[Visit, Any]:
    # A list of jobs is read once; asked job by job, SQLite goes through all visits of the crew each time.
    return Visit.objects.filter(cancelled_at=None, **whom).values("job")


def _matches(word: str) -> Q:
    site = "installation__site__"
    found = (
        Q(**{f"{site}customer__name__icontains": word})
        | Q(**{f"{site}street__icontains": word})
        | Q(**{f"{site}city__icontains": word})
        | Q(**{f"{site}postcode__icontains": word})
    )
    number = _NUMBER.fullmatch(word)
    return found | Q(pk=int(number[1])) if number else found
