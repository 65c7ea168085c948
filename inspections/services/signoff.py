"""The end of a job: somebody answerable signs the whole record, and it closes."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.models import SignOff, SiteRecord
from inspections.queries.evidence import RecordView
from inspections.queries.records import record_view
from inspections.services.answerable import answer_for
from inspections.services.certificates import certificate_issue
from inspections.services.signatures import Strokes, signature_make
from jobs.models import Installation, Job, JobKind, JobStatus, Permit, PermitOutcome, User
from jobs.services.jobs import job_move
from jobs.services.schedule import services_schedule


@transaction.atomic
def record_sign_off(
    *,
    record: SiteRecord,
    by: User,
    strokes: Strokes,
    width: int,
    height: int,
    name: str,
    now: datetime,
    remarks: str = "",
) -> SignOff:
    """Close a job: refuse while anything required is unknown, then sign, schedule services and certify."""
    record = SiteRecord.objects.select_for_update().get(pk=record.pk)
    job = Job.objects.select_related("installation__site").get(pk=record.job_id)
    own_work = answer_for(record=record, by=by)
    if job.status == JobStatus.CLOSED:
        raise InspectionsError("already_closed", f"{job.number} is closed already.")
    view = record_view(record)
    missing = sign_off_refusals(view, job)
    if missing:
        raise InspectionsError("record_incomplete", _sentence(job, missing))
    signature = signature_make(by=by, strokes=strokes, width=width, height=height, name=name, now=now)
    sign_off = SignOff.objects.create(
        record=record, by=by, signature=signature, own_work=own_work, remarks=remarks.strip(), at=now
    )
    done_on = work_done_on(view)
    job_move(job=job, to=JobStatus.CLOSED, by=by, now=now)
    if job.kind == JobKind.NEW_INSTALLATION:
        Installation.objects.filter(pk=job.installation_id, installed_on=None).update(installed_on=done_on)
    services_schedule(job=job, done_on=done_on, now=now)
    certificate_issue(sign_off=sign_off, by=by, now=now)
    return sign_off


def sign_off_refusals(view: RecordView, job: Job) -> tuple[str, ...]:
    """Return every sentence that stands in the way of signing a job off."""
    failed = Permit.objects.filter(job=job, outcome=PermitOutcome.FAILED)
    permits = (f"{permit}: the authority's final inspection failed." for permit in failed)
    return (*view.missing, *permits, *_checklist_changed(view))


def _checklist_changed(view: RecordView) -> tuple[str, ...]:
    pinned = view.record.checklist_digest
    if not pinned or pinned == view.checklist.digest:
        return ()
    return (
        f"The file of checklist {view.checklist.key}, version {view.checklist.version}, was changed after the"
        " work began. Put it back as it was.",
    )


def work_done_on(view: RecordView) -> date:
    """Return the day the crew signed the last stage, on the clock of the house."""
    zone = ZoneInfo(view.record.job.installation.site.time_zone)
    signed = [stage.stage.signed_at for stage in view.stages if stage.stage.signed_at is not None]
    return max(signed).astimezone(zone).date()


def _sentence(job: Job, missing: tuple[str, ...]) -> str:
    shown = " ".join(missing[:5])
    more = f" And {len(missing) - 5} more." if len(missing) > 5 else ""
    return f"{job.number} cannot be signed off yet. {shown}{more}"
