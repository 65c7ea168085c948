"""The beginning of site work."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inspections.checklists import checklist_for
from inspections.evidence_rows import RECORD
from inspections.models import SiteRecord, StageRecord
from inspections.queries.beginning import begin_refusal
from inspections.queries.limits import facts_to_pin, limits_to_pin
from jobs.models import Job, JobStatus, User
from jobs.services.evidence import evidence_append_all, row_entry
from jobs.services.jobs import job_move


@transaction.atomic
def record_begin(*, job: Job, by: User, now: datetime) -> SiteRecord:
    """Open a job's record: pin checklist, plan and limits, make the stages, move the job to on site."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if refusal := begin_refusal(job, by):
        raise refusal
    checklist = checklist_for(kind=job.kind, route=job.installation.route)
    record = SiteRecord.objects.create(
        job=job,
        plan=job.plan,
        checklist=checklist.key,
        checklist_version=checklist.version,
        checklist_digest=checklist.digest,
        facts=facts_to_pin(job),
        limits=limits_to_pin(job),
        begun_at=now,
        begun_by=by,
    )
    StageRecord.objects.bulk_create(
        StageRecord(record=record, key=stage.key, position=position)
        for position, stage in enumerate(checklist.stages, start=1)
    )
    log = [row_entry(RECORD, record)]
    job_move(job=job, to=JobStatus.ON_SITE, by=by, now=now, log=log)
    evidence_append_all(job=job, entries=log)
    return record
