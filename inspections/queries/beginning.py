"""Whether site work may begin."""

from __future__ import annotations

from inspections.errors import InspectionsError
from inspections.models import SiteRecord
from inspections.queries.crews import works_on
from jobs.models import Job, JobStatus, User


def begin_refusal(job: Job, user: User) -> InspectionsError | None:
    """Return why somebody may not begin a job's site work; None where they may."""
    if not works_on(user, job):
        return InspectionsError(
            "not_your_job", f"{job.number} is not a job of your crew. Ask the office to send your crew there."
        )
    if SiteRecord.objects.filter(job=job).exists():
        return InspectionsError("already_begun", f"Site work of {job.number} has begun already. Go on there.")
    if job.status != JobStatus.SCHEDULED:
        return InspectionsError(
            "job_not_scheduled",
            f"{job.number} is {job.get_status_display().lower()}. Site work begins from a scheduled visit:"
            " ask the office to schedule one.",
        )
    return None
