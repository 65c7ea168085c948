"""Defects raised by hand, and the waivers that accept them."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import DEFECT, GRADING, WAIVER
from inspections.models import (
    Answer,
    AnswerOutcome,
    Defect,
    DefectGrading,
    Photo,
    Severity,
    SiteRecord,
    StageRecord,
    Waiver,
)
from inspections.queries.corrections import found_item
from inspections.services.answerable import answer_for
from inspections.services.carrying import carried_close, root_of
from inspections.services.defect_rules import rule_as_told
from inspections.services.desk import Desk, desk_open
from inspections.services.notices import notice_issue, notice_lift, notices_settle
from jobs.models import OPEN_STATUSES, Job, User
from jobs.services.customers import customer_check_kept
from jobs.services.evidence import evidence_append_all, evidence_row, later_entry, row_entry


@transaction.atomic
def defect_report(
    *,
    stage: StageRecord,
    description: str,
    by: User,
    now: datetime,
    item: str = "",
    severity: str = Severity.CORRECT,
    place: str = "",
    rule: str = "",
    photos: Sequence[Photo] = (),
    device: str = "",
) -> Defect:
    """Raise a defect on an item, or on the stage; it then asks to be put right. `photos` show it as found."""
    desk = desk_open(record=stage.record_id, by=by)
    laid = desk.stage(stage.key)
    defect = defect_lay(
        desk=desk,
        stage=laid,
        description=description,
        entry=uuid.uuid4(),
        now=now,
        item=item,
        severity=severity,
        place=place,
        rule=rule,
    )
    for photo in photos:
        photo_lay(desk=desk, defect=defect, photo=photo, now=now, device=device)
    desk.put_away()
    return defect


def photo_lay(*, desk: Desk, defect: Defect, photo: Photo, now: datetime, device: str = "") -> None:
    """Lay a photo of a defect as found on the desk. Whoever finds one may show it, signed stage or not."""
    item = found_item(defect.item)
    desk.lay_answer(
        Answer(
            entry=photo.entry,
            stage=defect.stage,
            item=item.key,
            kind=item.kind,
            raw_text="",
            outcome=AnswerOutcome.RECORDED,
            photo=photo,
            by=desk.by,
            device=device[:120],
            received_at=now,
            supersedes=desk.latest(item.key),
        )
    )


def defect_lay(
    *,
    desk: Desk,
    stage: StageRecord,
    description: str,
    entry: uuid.UUID,
    now: datetime,
    item: str = "",
    severity: str = "",
    place: str = "",
    rule: str = "",
) -> Defect:
    """Lay a defect on the desk. One on the stage gets an item of its own, by which it is put right."""
    job = desk.job
    if not (desk.by.may_sign_off or desk.crew):
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")
    _check_open(job)
    description = description.strip()
    if not description:
        raise InspectionsError("description_missing", "Write what is wrong and where.")
    # A tablet of an earlier day does not say how grave it is.
    severity = severity or Severity.CORRECT
    if severity not in Severity.values:
        raise InspectionsError(
            "no_such_severity", "Say how grave it is: immediate danger, must be corrected, or advice."
        )
    if item:
        _check_item(desk, stage, item)
    defect = Defect(
        stage=stage,
        item=item or f"defect-{entry.hex[:12]}",
        description=description,
        severity=severity,
        place=(place.strip() or desk.title(stage))[:200],
        rule=rule_as_told(rule),
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
    defect = Defect.objects.select_related("stage__record__job__installation__site__customer").get(
        pk=defect.pk
    )
    closed = later_entry(DEFECT, "defect closed", defect, by)
    # Chains are taken as a grading takes them: where it was found, then the job that came for it.
    ended = carried_close([defect], by=by)
    evidence_append_all(job=job, entries=[row_entry(WAIVER, waiver), closed])
    notices_settle(raised=(), closed=ended, by=by)
    return waiver


@transaction.atomic
def defect_grade(*, defect: Defect, severity: str, reason: str, by: User, now: datetime) -> DefectGrading:
    """Say anew how grave a defect is, and why; what was said before is kept.

    One that was carried into a further job is graded there and here at once. A danger puts the notice out,
    a danger that is none any more lifts it.
    """
    # First: one on a closed job is graded too, and its notice would be about somebody who was erased.
    customer_check_kept(pk=defect.stage.record.job.installation.site.customer_id)
    record = SiteRecord.objects.select_for_update().get(stages=defect.stage_id)
    answer_for(record=record, by=by)
    reason = reason.strip()
    if severity not in Severity.values:
        raise InspectionsError(
            "no_such_severity", "Say how grave it is: immediate danger, must be corrected, or advice."
        )
    if not reason:
        raise InspectionsError("reason_missing", "Write why it is graded anew: the reason is kept.")
    defect = Defect.objects.select_for_update(of=("self",)).get(pk=defect.pk)
    if not defect.is_open:
        raise InspectionsError("defect_closed", "This defect is closed already.")
    if defect.grade == severity:
        raise InspectionsError(
            "graded_so", f"It is graded “{Severity(severity).label}” already. Choose another grade."
        )
    root = root_of(defect)
    same = [root, *root.carried_copies.filter(closed_at=None)]
    told = {"severity": severity, "reason": reason, "by": by, "at": now}
    gradings = {one.pk: DefectGrading.objects.create(defect=one, **told) for one in same}
    for one in same:
        evidence_row(job=one.stage.record.job, kind=GRADING, row=gradings[one.pk])
    if severity == Severity.DANGER:
        notice_issue(defect=root, by=by, now=now)
    else:
        notice_lift(
            defect=root,
            what=f"{by.name} has graded it anew, “{Severity(severity).label}”: {reason}",
            by=by,
            now=now,
        )
    return gradings[defect.pk]


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
