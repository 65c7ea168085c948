"""Sending signed stages back to the crew."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import cast

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import STAGE_RETURN
from inspections.models import Defect, Signature, SiteRecord, StageRecord, StageReturn
from inspections.services.answerable import answer_for
from inspections.services.defects import defect_report
from jobs.models import Job, JobStatus, User
from jobs.services.evidence import evidence_append_all, row_entry
from jobs.services.jobs import job_move


@transaction.atomic
def record_return(
    *, record: SiteRecord, by: User, reason: str, stages: Collection[str], now: datetime
) -> list[StageReturn]:
    """Send stages back with a reason: they open again, and the crew corrects and signs them again.

    Stages with an open defect go back as well. Nothing is lost: the signature a stage had is kept with who
    sent it back and why, and every answer stays in the record behind the one that corrects it.
    """
    record = SiteRecord.objects.select_for_update().get(pk=record.pk)
    job = Job.objects.get(pk=record.job_id)
    answer_for(record=record, by=by)
    reason = reason.strip()
    if not reason:
        raise InspectionsError("reason_missing", "Write what the crew must put right.")
    if job.status not in {JobStatus.READY, JobStatus.ON_SITE}:
        raise InspectionsError(
            "job_not_ready",
            f"{job.number} is {job.get_status_display().lower()}: there is nothing to send back.",
        )
    chosen = _stages_to_return(record, stages)
    returns = [_stage_return(stage, by, reason, now) for stage in chosen]
    evidence_append_all(job=job, entries=[row_entry(STAGE_RETURN, one) for one in returns])
    _defects_open(returns)
    if job.status == JobStatus.READY:
        job_move(job=job, to=JobStatus.ON_SITE, by=by, now=now, reason=f"Sent back: {reason}")
    return returns


def _stages_to_return(record: SiteRecord, keys: Collection[str]) -> list[StageRecord]:
    wrong = set(keys) - set(record.stages.values_list("key", flat=True))
    if wrong:
        raise InspectionsError("no_such_stage", "This job has no such stage. Load the page again.")
    with_defect = Defect.objects.filter(stage__record=record, closed_at=None).values("stage")
    signed = record.stages.exclude(signed_at=None)
    chosen = list((signed.filter(key__in=keys) | signed.filter(pk__in=with_defect)).distinct())
    if not chosen:
        raise InspectionsError("no_stage_chosen", "Choose the signed stages the crew must work on again.")
    return chosen


def _stage_return(stage: StageRecord, by: User, reason: str, now: datetime) -> StageReturn:
    returned = StageReturn.objects.create(
        stage=stage,
        signature=cast(Signature, stage.signature),
        signed_by=cast(User, stage.signed_by),
        signed_at=cast(datetime, stage.signed_at),
        by=by,
        reason=reason,
        at=now,
    )
    StageRecord.objects.filter(pk=stage.pk).update(signed_at=None, signed_by=None, signature=None)
    return returned


def _defects_open(returns: Collection[StageReturn]) -> None:
    """What the crew must put right is a defect, where none stands open."""
    for one in returns:
        if not one.stage.defects.filter(closed_at=None).exists():
            defect_report(stage=one.stage, description=one.reason, by=one.by, now=one.at)
