"""Opening a closed job again."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import REOPENING
from inspections.models import SignOff, SignOffReopening, SiteRecord
from inspections.services.answerable import answer_for
from inspections.services.certificates import certificate_reopen
from inspections.services.returns import stages_return
from jobs.models import Job, JobStatus, User
from jobs.services.customers import customer_check_kept
from jobs.services.evidence import evidence_append_all, row_entry
from jobs.services.jobs import job_move


@transaction.atomic
def record_reopen(
    *, record: SiteRecord, by: User, reason: str, stages: Collection[str], now: datetime
) -> SignOffReopening:
    """Open a closed job again with a reason, and send the chosen stages back to the crew.

    The sign-off stays in the record as what it was and ends here. The certificate that counted is withdrawn
    with the same reason; the new sign-off issues one in its place. Due dates of services stay meanwhile: a
    stove that was lit needs its sweep, whatever becomes of its papers.
    """
    # Before the record: a job of somebody who is being erased must not come open behind the erasing.
    customer_check_kept(pk=record.job.installation.site.customer_id)
    record = SiteRecord.objects.select_for_update().get(pk=record.pk)
    job = Job.objects.get(pk=record.job_id)
    answer_for(record=record, by=by)
    reason = reason.strip()
    if not reason:
        raise InspectionsError("reason_missing", "Write why the job is reopened: the reason stays with it.")
    sign_off = SignOff.objects.filter(record=record, reopening=None).first()
    if job.status != JobStatus.CLOSED or sign_off is None:
        raise _not_closed(job)
    reopening = SignOffReopening.objects.create(sign_off=sign_off, by=by, reason=reason, at=now)
    log = [row_entry(REOPENING, reopening)]
    # Before the stages: a defect is raised on each, and a closed job takes none.
    job_move(job=job, to=JobStatus.ON_SITE, by=by, now=now, reason=f"Reopened: {reason}", log=log)
    evidence_append_all(job=job, entries=log)
    stages_return(record=record, by=by, reason=reason, stages=stages, now=now)
    certificate_reopen(sign_off=sign_off, by=by, reason=reason, now=now)
    return reopening


def _not_closed(job: Job) -> InspectionsError:
    if job.status == JobStatus.CANCELLED:
        return InspectionsError(
            "job_cancelled", f"{job.number} is cancelled and stays so. Open a new job for the house."
        )
    return InspectionsError(
        "job_not_closed",
        f"{job.number} is {job.get_status_display().lower()}: only a closed job is reopened. Load the page"
        " again.",
    )
