"""Defects raised by hand, and the waivers that accept them."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.models import Defect, SiteRecord, StageRecord, Waiver
from inspections.queries.crews import works_on
from inspections.queries.records import record_view
from inspections.services.answerable import answer_for
from jobs.models import OPEN_STATUSES, Job, User


@transaction.atomic
def defect_report(*, stage: StageRecord, description: str, by: User, now: datetime, item: str = "") -> Defect:
    """Raise a defect on an item, or on the stage; it then asks to be put right."""
    record = SiteRecord.objects.select_for_update().get(pk=stage.record_id)
    job = _open_job(record)
    if not (by.may_sign_off or works_on(by, job)):
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    description = description.strip()
    if not description:
        raise InspectionsError("description_missing", "Write what is wrong and where.")
    if item:
        _check_item(record, stage, item)
    defect = Defect.objects.create(
        stage=stage,
        item=item or f"raised-{uuid.uuid4().hex[:12]}",
        description=description,
        opened_by=by,
        opened_at=now,
    )
    if not item:
        # Its own item, by which it is put right, carries its number.
        Defect.objects.filter(pk=defect.pk).update(item=f"defect-{defect.pk}")
        defect.refresh_from_db(fields=["item"])
    return defect


@transaction.atomic
def waiver_accept(*, defect: Defect, by: User, authority: str, reason: str, now: datetime) -> Waiver:
    """Close a defect by acceptance, on somebody's authority and for a reason. The certificate prints both."""
    record = SiteRecord.objects.select_for_update().get(stages=defect.stage_id)
    _open_job(record)
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
    return Waiver.objects.create(defect=defect, by=by, authority=authority[:160], reason=reason, at=now)


def _open_job(record: SiteRecord) -> Job:
    job = Job.objects.get(pk=record.job_id)
    if job.status not in OPEN_STATUSES:
        raise InspectionsError(
            "job_not_open",
            f"{job.number} is {job.get_status_display().lower()}: its record can no longer be changed.",
        )
    return job


def _check_item(record: SiteRecord, stage: StageRecord, item: str) -> None:
    view = record_view(record).stage(stage.key)
    if view is None or view.item(item) is None:
        raise InspectionsError("no_such_item", "This stage has no such item. Load the page again.")
    if Defect.objects.filter(stage=stage, item=item, closed_at=None).exists():
        raise InspectionsError("defect_open", "A defect is open on this item already.")
