"""Defects that stay open on one job and are put right on a further one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import uuid4

from django.db import transaction

from inspections.checklists import Item, checklist_get
from inspections.errors import InspectionsError
from inspections.models import AnswerKind, CarriedDefect, Defect, Severity, SiteRecord, StageRecord
from jobs.models import Installation, Job, JobKind, User
from jobs.services.jobs import job_create

#: Stage of a repair on which what it came for is put right.
STAGE = "putting_right"


def root_of(defect: Defect) -> Defect:
    """Return the defect one was carried from while that is open, else itself."""
    origin = defect.carried_from
    return origin if origin is not None and origin.is_open else defect


def carried_close(closed: Iterable[Defect]) -> list[Defect]:
    """Close what was carried from elsewhere by the very answer, or waiver, that closed its copy.

    Returns all that is closed by it, the copies too.
    """
    found = []
    for copy in closed:
        found.append(copy)
        if copy.carried_from_id is None or copy.is_open:
            continue
        told = {"closed_by_answer": copy.closed_by_answer, "closed_at": copy.closed_at}
        if Defect.objects.filter(pk=copy.carried_from_id, closed_at=None).update(**told) == 1:
            found.append(_defects().get(pk=copy.carried_from_id))
    return found


@transaction.atomic
def follow_up_make(*, installation: Installation, defects: Sequence[Defect], by: User, now: datetime) -> Job:
    """Open a repair that is to put defects right, each linked to it; its note says what they are."""
    waiting = [one for one in defects if one.is_open and one.grade != Severity.ADVICE]
    if not waiting:
        raise InspectionsError("nothing_to_follow_up", "No defect here waits for a repair.")
    origins = sorted({one.stage.record.job.number for one in waiting})
    lines = [f"{one.grade.label}: {one.description} ({one.place})" for one in waiting]
    note = "\n".join([f"To put right what was found on {' and '.join(origins)}:", *lines])
    job = job_create(installation=installation, kind=JobKind.REPAIR, by=by, now=now, note=note)
    CarriedDefect.objects.bulk_create(CarriedDefect(defect=one, job=job, by=by, at=now) for one in waiting)
    return job


def carried_bring(*, record: SiteRecord, by: User, now: datetime) -> None:
    """Lay what a job came for on its stage, each with what it takes to put it right."""
    came_for = _defects().filter(carries__job=record.job_id, closed_at=None).order_by("pk")
    stages = {one.key: one for one in StageRecord.objects.filter(record=record).order_by("position")}
    stage = stages.get(STAGE) or next(iter(stages.values()))
    Defect.objects.bulk_create(
        Defect(
            stage=stage,
            item=f"defect-{uuid4().hex[:12]}",
            description=one.description,
            severity=one.grade,
            place=one.place,
            rule=one.rule,
            measure=_measure(one, record.job.installation.site.unit_system),
            carried_from=one,
            opened_by=one.opened_by,
            opened_at=now,
        )
        for one in came_for
    )


def _measure(defect: Defect, system: str) -> dict[str, str] | None:
    answer = defect.opened_by_answer
    if answer is None or answer.kind != AnswerKind.MEASURE:
        return None
    record = defect.stage.record
    told = checklist_get(record.checklist, record.checklist_version).stage(defect.stage.key)
    item: Item | None = told.item(defect.item) if told else None
    if item is None:
        return None
    item = item.in_units(system)
    return {"ask": item.ask, "how": item.how, "quantity": item.quantity, "limit": item.limit}


def _defects():  # type: ignore[no-untyped-def]
    return Defect.objects.select_related(
        "stage__record__job__installation__site__customer", "opened_by_answer", "closed_by_answer__by"
    )
