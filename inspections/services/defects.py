"""Defects raised by hand, and the waivers that accept them."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import DEFECT, WAIVER
from inspections.models import Defect, SiteRecord, StageRecord, Waiver
from inspections.services.answerable import answer_for
from inspections.services.desk import Desk, desk_open
from jobs.models import OPEN_STATUSES, Job, User
from jobs.services.evidence import evidence_append_all, later_entry, row_entry


@transaction.atomic
def defect_report(*, stage: StageRecord, description: str, by: User, now: datetime, item: str = "") -> Defect:
    """Raise a defect on an item, or on the stage; it then asks to be put right."""
    desk = desk_open(record=stage.record_id, by=by)
    defect = defect_lay(
        desk=desk,
        stage=desk.stage(stage.key),
        description=description,
        entry=uuid.uuid4(),
        now=now,
        item=item,
    )
    desk.put_away()
    return defect


def defect_lay(
    *, desk: Desk, stage: StageRecord, description: str, entry: uuid.UUID, now: datetime, item: str = ""
) -> Defect:
    """Lay a defect on the desk. One on the stage gets an item of its own, by which it is put right."""
    job = desk.job
    if not (desk.by.may_sign_off or desk.crew):
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    _check_open(job)
    description = description.strip()
    if not description:
        raise InspectionsError("description_missing", "Write what is wrong and where.")
    if item:
        _check_item(desk, stage, item)
    defect = Defect(
        stage=stage,
        item=item or f"defect-{entry.hex[:12]}",
        description=description,
        opened_by=desk.by,
        opened_at=now,
    )
    desk.lay_defect(defect)
    return defect


@transaction.atomic
def waiver_accept(*, defect: Defect, by: User, authority: str, reason: str, now: datetime) -> Waiver:
    """Close a defect by acceptance, on somebody's authority and for a reason. The certificate prints both."""
    record = SiteRecord.objects.select_for_update().get(stages=defect.stage_id)
    job = Job.objects.get(pk=record.job_id)
    _check_open(job)
    answer_for(record=record, by=by)
    authority, reason = authority.strip(), reason.strip()
    if not authority:
        raise InspectionsError(
            "authority_missing", "Name the authority the waiver rests on, such as the building official."
        )
    if not reason:
        raise InspectionsError("reason_missing", "Write why the defect can be accepted.")
    if Defect.objects.filter(pk=defect.pk, closed_at=None).update(closed_at=now) != 1:
        raise InspectionsError("defect_closed", "This defect is closed already.")
    waiver = Waiver.objects.create(defect=defect, by=by, authority=authority[:160], reason=reason, at=now)
    defect.closed_at = now
    closed = later_entry(DEFECT, "defect closed", defect, by)
    evidence_append_all(job=job, entries=[row_entry(WAIVER, waiver), closed])
    return waiver


def _check_open(job: Job) -> None:
    if job.status not in OPEN_STATUSES:
        raise InspectionsError(
            "job_not_open",
            f"{job.number} is {job.get_status_display().lower()}: its record can no longer be changed.",
        )


def _check_item(desk: Desk, stage: StageRecord, item: str) -> None:
    desk.item_asked(stage, item)
    if desk.open_defect(stage, item) is not None:
        raise InspectionsError("defect_open", "A defect is open on this item already.")
