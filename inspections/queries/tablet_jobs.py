"""The jobs somebody takes along on a tablet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q

from jobs.models import Job, JobStatus, Shop, User, Visit
from jobs.queries.jobs import jobs_visible_to, standing_visits
from jobs.queries.today import day_bounds, visits_of

#: Today and so many days after it.
DAYS_AHEAD = 7


@dataclass(frozen=True)
class TabletJob:
    """A job to take along, with the visit that brings somebody there."""

    job: Job
    visit: Visit | None

    @property
    def day(self) -> str:
        """The day of that visit on the clock of the house; empty where nobody is to go."""
        return self.visit.local_start.date().isoformat() if self.visit else ""


def tablet_jobs(user: User, now: datetime) -> list[TabletJob]:
    """Return the jobs of today and the next days and the unfinished ones before, in the order of the visits.

    Who may sign off also takes what is on site or waits for a sign-off, wherever a visit may be.
    """
    begins, tomorrow = day_bounds(now)
    ahead = Q(starts_at__gte=begins, starts_at__lt=tomorrow + timedelta(days=DAYS_AHEAD))
    before = Q(starts_at__lt=begins, job__status__in=[JobStatus.SCHEDULED, JobStatus.ON_SITE])
    wanted = Q(pk__in=visits_of(user).filter(ahead | before).values("job"))
    if user.may_sign_off or Shop.current().one_person:
        wanted |= Q(status__in=[JobStatus.ON_SITE, JobStatus.READY])
    jobs = jobs_visible_to(user).filter(wanted).exclude(status=JobStatus.CANCELLED)
    taken = [_taken(job, begins) for job in jobs.prefetch_related(standing_visits())]
    return sorted(
        taken, key=lambda one: (one.day or "9999", one.visit.starts_at if one.visit else now, one.job.pk)
    )


def _taken(job: Job, begins: datetime) -> TabletJob:
    """Return a job with its first visit from today on, else the last one before."""
    visits: Sequence[Visit] = job.standing_visits  # type: ignore[attr-defined]
    ahead = [visit for visit in visits if visit.starts_at >= begins]
    return TabletJob(job, ahead[0] if ahead else (visits[-1] if visits else None))
