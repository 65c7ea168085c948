"""The end of a job: somebody answerable signs the whole record, and it closes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import SIGN_OFF, SIGNATURE
from inspections.models import SignOff, SiteRecord
from inspections.queries.evidence import RecordView
from inspections.queries.permits import permits_failed
from inspections.services.answerable import answer_for_desk
from inspections.services.certificates import certificate_issue
from inspections.services.desk import Desk, desk_open
from inspections.services.signatures import Ink, Strokes, signature_make, signature_read
from jobs.models import Installation, Job, JobKind, JobStatus, Permit, User
from jobs.services.evidence import evidence_append_all, row_entry
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
    desk = desk_open(record=record.pk, by=by)
    ink = Ink(strokes, width, height, name)
    ready = sign_off_check(desk=desk, ink=ink, now=now)
    return sign_off_write(desk=desk, ready=ready, ink=ink, now=now, remarks=remarks)


@dataclass(frozen=True)
class Ready:
    """That nothing stands in the way of signing a record off."""

    own_work: bool
    done_on: date


def sign_off_check(*, desk: Desk, ink: Ink, now: datetime) -> Ready:
    """Refuse a sign-off while anything stands in its way; writes nothing."""
    job = desk.job
    own_work = answer_for_desk(desk)
    if job.status == JobStatus.CLOSED:
        raise InspectionsError("already_closed", f"{job.number} is closed already.")
    if job.status == JobStatus.CANCELLED:
        raise InspectionsError("job_not_on_site", f"{job.number} is cancelled: there is nothing to sign off.")
    view = desk.view()
    missing = _refusals(view, desk.permits_failed)
    if missing:
        raise InspectionsError("record_incomplete", _sentence(job, missing))
    signature_read(by=desk.by, ink=ink, now=now)
    return Ready(own_work=own_work, done_on=work_done_on(view))


@transaction.atomic
def sign_off_write(*, desk: Desk, ready: Ready, ink: Ink, now: datetime, remarks: str = "") -> SignOff:
    """Sign the record, close its job, schedule its services and certify it."""
    job, by = desk.job, desk.by
    signature = signature_make(by=by, ink=ink, now=now)
    sign_off = SignOff.objects.create(
        record=desk.record,
        by=by,
        signature=signature,
        own_work=ready.own_work,
        remarks=remarks.strip(),
        at=now,
    )
    log = [row_entry(SIGNATURE, signature), row_entry(SIGN_OFF, sign_off)]
    job_move(job=job, to=JobStatus.CLOSED, by=by, now=now, log=log)
    evidence_append_all(job=job, entries=log)
    if job.kind == JobKind.NEW_INSTALLATION:
        fresh = Installation.objects.filter(pk=job.installation_id, installed_on=None)
        fresh.update(installed_on=ready.done_on)
    services_schedule(job=job, done_on=ready.done_on, now=now)
    certificate_issue(sign_off=sign_off, by=by, now=now)
    return sign_off


def sign_off_refusals(view: RecordView, job: Job) -> tuple[str, ...]:
    """Return every sentence that stands in the way of signing a job off."""
    return _refusals(view, permits_failed(job))


def _refusals(view: RecordView, failed: Sequence[Permit]) -> tuple[str, ...]:
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
