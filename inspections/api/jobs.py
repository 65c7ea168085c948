"""The jobs a tablet takes along."""

from __future__ import annotations

from datetime import datetime

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router
from pydantic import BaseModel, Field

from inspections.api.authentication import HEADERS, user_of
from inspections.api.refusals import REFUSED
from inspections.queries.bundle_shape import VisitPart
from inspections.queries.bundles import visit_parts
from inspections.queries.tablet_jobs import TabletJob, tablet_jobs

router = Router()


class JobOut(BaseModel):
    """A job as a list shows it."""

    job: int
    number: str
    customer: str
    address: str
    kind: str
    status: str
    status_words: str
    day: str = Field(description="YYYY-MM-DD on the clock of the house; empty where nobody is to go.")
    visits: list[VisitPart]


class JobsOut(BaseModel):
    """The jobs of today and the next days, and the unfinished ones before."""

    server_time: datetime
    jobs: list[JobOut]


@router.get(
    "/jobs",
    response={200: JobsOut, **REFUSED},
    url_name="tablet_jobs",
    summary="Jobs to take along",
    openapi_extra=HEADERS,
)
def jobs(request: HttpRequest) -> JobsOut:
    """List the jobs to take along."""
    now = timezone.now()
    return JobsOut(server_time=now, jobs=[_job(one) for one in tablet_jobs(user_of(request), now)])


def _job(taken: TabletJob) -> JobOut:
    job = taken.job
    site = job.installation.site
    return JobOut(
        job=job.pk,
        number=job.number,
        customer=site.customer.name,
        address=str(site),
        kind=job.get_kind_display(),
        status=job.status,
        status_words=job.get_status_display(),
        day=taken.day,
        visits=visit_parts(job),
    )
