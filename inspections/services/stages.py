"""Signing a stage freezes it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.models import SiteRecord, StageRecord
from inspections.queries.crews import works_on
from inspections.queries.evidence import StageView
from inspections.queries.records import record_view
from inspections.services.signatures import Strokes, signature_make
from jobs.models import Job, JobStatus, User
from jobs.services.jobs import job_move


@transaction.atomic
def stage_sign(
    *, stage: StageRecord, by: User, strokes: Strokes, width: int, height: int, name: str, now: datetime
) -> StageRecord:
    """Freeze a stage; refuse while anything required is missing, failed or unknown without a waiver."""
    record = SiteRecord.objects.select_for_update().get(pk=stage.record_id)
    job = Job.objects.get(pk=record.job_id)
    if not works_on(by, job):
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    if job.status != JobStatus.ON_SITE:
        raise InspectionsError(
            "job_not_on_site",
            f"{job.number} is {job.get_status_display().lower()}: there is nothing to sign.",
        )
    view = record_view(record).stage(stage.key)
    if view is None:
        raise InspectionsError("no_such_stage", "This job has no such stage.")
    _check_may_be_signed(view)
    signature = signature_make(by=by, strokes=strokes, width=width, height=height, name=name, now=now)
    StageRecord.objects.filter(pk=stage.pk).update(signed_at=now, signed_by=by, signature=signature)
    stage.refresh_from_db()
    if not record.stages.filter(signed_at=None).exists():
        job_move(job=job, to=JobStatus.READY, by=by, now=now, reason="All stages are signed")
    return stage


def _check_may_be_signed(view: StageView) -> None:
    if view.signed:
        raise InspectionsError("stage_signed", f"“{view.title}” is signed already.")
    if view.locked_by:
        raise InspectionsError(
            "hold_point", f"“{view.locked_by}” is a hold point and must be signed before “{view.title}”."
        )
    if view.missing:
        more = f" And {len(view.missing) - 3} more." if len(view.missing) > 3 else ""
        raise InspectionsError(
            "stage_incomplete",
            f"“{view.title}” cannot be signed yet. {' '.join(view.missing[:3])}{more}",
        )
