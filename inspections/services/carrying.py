"""Defects that stay open on one job and are put right on a further one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import uuid4

from django.db import transaction
from django.db.models import Q, QuerySet

from inspections.checklists import Item, checklist_get
from inspections.errors import InspectionsError
from inspections.evidence_rows import CARRIED, DEFECT
from inspections.models import AnswerKind, CarriedDefect, Defect, Severity, SiteRecord, StageRecord
from inspections.queries.house_defects import to_follow_up
from jobs.evidence_chain import EvidenceEntry
from jobs.models import Installation, Job, JobKind, JobStatus, User
from jobs.services.evidence import evidence_append_all, evidence_later, row_entry
from jobs.services.jobs import job_create

#: Stage of a repair on which what it came for is put right.
STAGE = "putting_right"


def root_of(defect: Defect) -> Defect:
    """Return the defect one was carried from while that is open, else itself."""
    origin = defect.carried_from
    return origin if origin is not None and origin.is_open else defect


def carried_close(closed: Iterable[Defect], *, by: User) -> list[Defect]:
    """Close the same defects on other jobs by the very answers, or waivers, that closed these.

    One that was carried into a further job is closed where it was found; one that is put right where it was
    found, on a job opened again, is closed on the job that came for it. Returns all that is closed by it.
    """
    found = list(closed)
    ended = {one.carried_from_id or one.pk: one for one in found if not one.is_open}
    if not ended:
        return found
    same = Defect.objects.filter(Q(pk__in=ended) | Q(carried_from__in=ended), closed_at=None)
    # A job that was called off stays as it was left.
    standing = same.exclude(stage__record__job__status=JobStatus.CANCELLED, carried_from__isnull=False)
    for pk, origin in standing.order_by("pk").values_list("pk", "carried_from"):
        by_it = ended[origin or pk]
        told = {"closed_by_answer": by_it.closed_by_answer, "closed_at": by_it.closed_at}
        if Defect.objects.filter(pk=pk, closed_at=None).update(**told) == 1:
            other = _defects().get(pk=pk)
            evidence_later(job=other.stage.record.job, kind=DEFECT, later="defect closed", row=other, by=by)
            found.append(other)
    return found


@transaction.atomic
def follow_up_open(*, installation: Installation, by: User, now: datetime) -> Job:
    """Open a repair for what is open at a stove and waits for none."""
    # The lock makes two clicks on the button see each other: the second finds nothing that waits.
    Installation.objects.select_for_update(no_key=True).only("pk").get(pk=installation.pk)
    return follow_up_make(installation=installation, defects=to_follow_up(installation), by=by, now=now)


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
    carried = [CarriedDefect(defect=one, job=job, by=by, at=now) for one in waiting]
    CarriedDefect.objects.bulk_create(carried)
    evidence_append_all(job=job, entries=[row_entry(CARRIED, one) for one in carried])
    return job


def carried_bring(*, record: SiteRecord, now: datetime) -> list[EvidenceEntry]:
    """Lay what a job came for on its stage, with what it takes to put it right; return what is logged."""
    came_for = _defects().filter(carries__job=record.job_id, closed_at=None).order_by("pk")
    stages = {one.key: one for one in StageRecord.objects.filter(record=record).order_by("position")}
    stage = stages.get(STAGE) or next(iter(stages.values()))
    brought = [
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
    ]
    Defect.objects.bulk_create(brought)
    return [row_entry(DEFECT, one) for one in brought]


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


def _defects() -> QuerySet[Defect]:
    return Defect.objects.select_related(
        "stage__record__job__installation__site__customer", "opened_by_answer", "closed_by_answer__by"
    )
