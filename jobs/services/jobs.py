"""The way of a job from enquiry to closed."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from jobs.errors import JobsError
from jobs.evidence_chain import EvidenceEntry
from jobs.evidence_rows import STATUS_CHANGE
from jobs.models import (
    TRANSITIONS,
    Installation,
    Job,
    JobKind,
    JobStatus,
    JobStatusChange,
    Plan,
    User,
)
from jobs.services.customers import customer_check_kept
from jobs.services.evidence import evidence_append_all, row_entry

#: Kinds of job that are computed before anybody drives out.
NEEDS_PLAN = frozenset({JobKind.NEW_INSTALLATION})


@transaction.atomic
def job_create(
    *,
    installation: Installation,
    kind: str,
    by: User | None,
    now: datetime,
    note: str = "",
    plan: Plan | None = None,
) -> Job:
    """Open a job: an enquiry while its plan is missing, planned when it has or needs none."""
    customer_check_kept(pk=installation.site.customer_id)
    if plan is not None:
        _check_plan(installation, plan)
    status = JobStatus.ENQUIRY if plan is None and kind in NEEDS_PLAN else JobStatus.PLANNED
    job = Job.objects.create(
        installation=installation,
        kind=kind,
        status=status,
        plan=plan,
        note=note.strip(),
        created_by=by,
        created_at=now,
    )
    change = JobStatusChange.objects.create(job=job, old="", new=status, by=by, at=now)
    evidence_append_all(job=job, entries=[row_entry(STATUS_CHANGE, change)])
    return job


@transaction.atomic
def job_move(
    *,
    job: Job,
    to: str,
    by: User | None,
    now: datetime,
    reason: str = "",
    log: list[EvidenceEntry] | None = None,
) -> Job:
    """Change a job's status if the table of transitions allows it and nobody moved it meanwhile.

    A caller who has other things to log before it hands in a list, and logs what is put into it.
    """
    reason = reason.strip()
    old = job.status
    target = JobStatus(to)
    _check_move(job, target, reason)
    closed_at = now if target == JobStatus.CLOSED else None
    moved = Job.objects.filter(pk=job.pk, status=old).update(status=target, closed_at=closed_at)
    if moved != 1:
        raise JobsError(
            "job_moved_meanwhile",
            f"Somebody else moved {job.number} meanwhile. Load the page again and look where it stands.",
        )
    if target == JobStatus.CANCELLED:
        job.visits.filter(cancelled_at=None).update(cancelled_at=now)
    change = JobStatusChange.objects.create(job=job, old=old, new=target, by=by, reason=reason, at=now)
    logged = row_entry(STATUS_CHANGE, change)
    if log is None:
        evidence_append_all(job=job, entries=[logged])
    else:
        log.append(logged)
    job.status, job.closed_at = target, closed_at
    return job


@transaction.atomic
def job_plan(*, job: Job, plan: Plan, by: User, now: datetime) -> Job:
    """Attach a plan; an enquiry becomes planned by it. A job already on site keeps the plan it began with."""
    _check_plan(job.installation, plan)
    before_work = [JobStatus.ENQUIRY, JobStatus.PLANNED, JobStatus.SCHEDULED]
    attached = Job.objects.filter(pk=job.pk, status=job.status, status__in=before_work).update(plan=plan)
    if attached != 1:
        raise JobsError(
            "plan_is_settled",
            f"{job.number} is {job.get_status_display().lower()}: its plan can no longer be changed.",
        )
    job.plan = plan
    if job.status == JobStatus.ENQUIRY:
        job_move(job=job, to=JobStatus.PLANNED, by=by, now=now, reason=f"Plan {plan.revision} attached")
    return job


def _check_move(job: Job, target: JobStatus, reason: str) -> None:
    if target not in TRANSITIONS[job.status]:
        raise JobsError(
            "move_not_allowed",
            f"{job.number} is {job.get_status_display().lower()} and cannot become {target.label.lower()}.",
        )
    if job.status == JobStatus.ENQUIRY and target == JobStatus.PLANNED:
        _check_has_plan(job)
    backwards = job.status in {JobStatus.READY, JobStatus.CLOSED} and target == JobStatus.ON_SITE
    if (target == JobStatus.CANCELLED or backwards) and not reason:
        raise JobsError("reason_missing", "Write why: the reason stays with the job.")


def _check_has_plan(job: Job) -> None:
    if job.kind in NEEDS_PLAN and job.plan_id is None:
        raise JobsError("plan_missing", f"{job.number} has no plan: make one from a survey and attach it.")


def _check_plan(installation: Installation, plan: Plan) -> None:
    if plan.installation_id != installation.pk:
        raise JobsError(
            "plan_of_another", "That plan belongs to another installation. Choose one of this one."
        )
