"""From an address to the job somebody may see."""

from __future__ import annotations

from http import HTTPStatus

from django.db.models import Exists

from inspections.api.refusals import ApiError
from inspections.models import TabletEntry
from jobs.models import Job, User
from jobs.queries.jobs import jobs_visible_to


def job_sent_to(user: User, pk: int) -> Job:
    """Return a job this person may see, or one that entries of theirs are kept of already.

    Who lost the answer to those, and the job since, still hears that they have arrived.
    """
    sent = TabletEntry.objects.filter(job=pk, by=user)
    job = Job.objects.select_related("installation__site").filter(Exists(sent), pk=pk).first()
    return job or job_at(user, pk)


def job_at(user: User, pk: int) -> Job:
    """Return a job this person may see; for anything else there is none."""
    job = jobs_visible_to(user).filter(pk=pk).first()
    if job is None:
        raise ApiError(
            HTTPStatus.NOT_FOUND,
            "no_such_job",
            "This job is not yours, or not any more. Ask the office if your crew should be there.",
        )
    return job
