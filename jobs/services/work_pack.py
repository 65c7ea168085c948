"""Work packs: what a crew takes along, frozen when it was asked for."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import Document, DocumentKind, Job, Shop, User
from jobs.queries.work_pack import work_pack_context
from jobs.services.documents import document_request
from jobs.services.jobs import NEEDS_PLAN


@transaction.atomic
def work_pack_request(*, job: Job, by: User, now: datetime) -> Document:
    """Ask for a new work pack from the job as it stands; it takes the place of an earlier one."""
    if not job.is_open:
        raise JobsError(
            "job_not_open",
            f"{job.number} is {job.get_status_display().lower()}: there is no work left to pack for.",
        )
    if job.plan is None and job.kind in NEEDS_PLAN:
        raise JobsError(
            "plan_missing", f"{job.number} has no plan yet: make one from a survey and attach it."
        )
    return document_request(
        job=job,
        kind=DocumentKind.WORK_PACK,
        title=f"Work pack {job.number}" + (f", plan {job.plan.revision}" if job.plan else ""),
        context=work_pack_context(job=job, shop=Shop.current(), by=by.name, now=now),
        for_customer=False,
        now=now,
    )
