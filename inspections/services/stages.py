"""Signing a stage freezes it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.models import StageRecord
from inspections.queries.evidence import StageView
from inspections.services.desk import Desk, desk_open
from inspections.services.signatures import Ink, Strokes, signature_read
from jobs.evidence_chain import EvidenceEntry
from jobs.models import JobStatus, User
from jobs.services.jobs import job_move


@transaction.atomic
def stage_sign(
    *, stage: StageRecord, by: User, strokes: Strokes, width: int, height: int, name: str, now: datetime
) -> StageRecord:
    """Freeze a stage; refuse while anything required is missing, failed or unknown without a waiver."""
    desk = desk_open(record=stage.record_id, by=by)
    signature_lay(desk=desk, key=stage.key, ink=Ink(strokes, width, height, name), now=now)
    desk.put_away()
    stage.refresh_from_db()
    return stage


def signature_lay(*, desk: Desk, key: str, ink: Ink, now: datetime) -> StageRecord:
    """Sign a stage as it lies on the desk; the last signature makes the job ready for sign-off."""
    job = desk.job
    if not desk.crew:
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    if job.status != JobStatus.ON_SITE:
        raise InspectionsError(
            "job_not_on_site",
            f"{job.number} is {job.get_status_display().lower()}: there is nothing to sign.",
        )
    view = desk.view().stage(key)
    if view is None:
        raise InspectionsError("no_such_stage", "This job has no such stage.")
    _check_may_be_signed(view)
    signature = signature_read(by=desk.by, ink=ink, now=now)
    log: list[EvidenceEntry] = []
    if all(stage.is_signed for stage in desk.rows.stages if stage.key != key):
        job_move(job=job, to=JobStatus.READY, by=desk.by, now=now, reason="All stages are signed", log=log)
    stage = desk.stage(key)
    desk.lay_signature(stage, signature, now)
    desk.lay_entries(log)
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
