"""The end of a job: somebody answerable signs the whole record, and it closes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import SIGN_OFF, SIGNATURE
from inspections.models import (
    CarriedDefect,
    Defect,
    DoNotUseNotice,
    Severity,
    SignOff,
    SignOffReopening,
    SiteRecord,
)
from inspections.queries.evidence import RecordView
from inspections.queries.permits import permits_failed
from inspections.services.answerable import answer_for_desk
from inspections.services.carrying import follow_up_make
from inspections.services.certificates import REOPENED, certificate_before, certificate_issue
from inspections.services.desk import Desk, desk_open
from inspections.services.hand_over import hand_over_request
from inspections.services.signatures import Ink, Strokes, signature_make, signature_read
from jobs.models import OPEN_STATUSES, Installation, Job, JobKind, JobStatus, Permit, User
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
    reopening = _last_reopening(desk)
    signature = signature_make(by=by, ink=ink, now=now)
    sign_off = SignOff.objects.create(
        record=desk.record,
        after=reopening,
        by=by,
        signature=signature,
        own_work=ready.own_work,
        remarks=remarks.strip(),
        at=now,
    )
    log = [row_entry(SIGNATURE, signature), row_entry(SIGN_OFF, sign_off)]
    job_move(job=job, to=JobStatus.CLOSED, by=by, now=now, log=log)
    evidence_append_all(job=job, entries=log)
    if carried := defects_to_carry(desk.view()):
        follow_up_make(installation=job.installation, defects=carried, by=by, now=now)
    if job.kind == JobKind.NEW_INSTALLATION:
        fresh = Installation.objects.filter(pk=job.installation_id, installed_on=None)
        fresh.update(installed_on=ready.done_on)
    if reopening is None or _all_done_over(desk, reopening):
        services_schedule(job=job, done_on=ready.done_on, now=now)
    before = certificate_before(sign_off) if reopening else None
    certificate_issue(
        sign_off=sign_off,
        by=by,
        now=now,
        supersedes=before,
        reason=f"{REOPENED} {reopening.reason}" if reopening and before else "",
    )
    # One issued in place of another has had its pack made anew with it.
    if job.kind == JobKind.NEW_INSTALLATION and before is None:
        hand_over_request(job=job, now=now)
    return sign_off


def defects_to_carry(view: RecordView) -> list[Defect]:
    """Return the open defects a sign-off carries into a further job: all but advice and what has one."""
    found = [one for one in view.open_defects if one.grade != Severity.ADVICE]
    waiting = CarriedDefect.objects.filter(defect__in=found, job__status__in=OPEN_STATUSES)
    carried = set(waiting.values_list("defect", flat=True)) if found else set()
    return [one for one in found if one.pk not in carried]


def _last_reopening(desk: Desk) -> SignOffReopening | None:
    return desk.rows.sign_offs[-1].reopening if desk.rows.sign_offs else None


def _all_done_over(desk: Desk, reopening: SignOffReopening) -> bool:
    """Whether every stage was signed again since: only then was the chimney swept or built anew.

    A stage put right a year on must not put off the sweep that the first day of fire asked for. So until
    the whole work is done over, the due dates stay those of the first sign-off.
    """
    return all(stage.signed_at and stage.signed_at >= reopening.at for stage in desk.rows.stages)


def sign_off_refusals(view: RecordView, job: Job) -> tuple[str, ...]:
    """Return every sentence that stands in the way of signing a job off."""
    return _refusals(view, permits_failed(job))


def _refusals(view: RecordView, failed: Sequence[Permit]) -> tuple[str, ...]:
    permits = (f"{permit}: the authority's final inspection failed." for permit in failed)
    return (*view.missing, *permits, *_checklist_changed(view), *_not_told(view))


def _not_told(view: RecordView) -> list[str]:
    """A danger that stays open is told to the customer before anybody leaves it behind."""
    dangers = [one for one in view.open_defects if one.grade == Severity.DANGER]
    if not dangers:
        return []
    out = DoNotUseNotice.objects.filter(defect__in=dangers, lifted_at=None).select_related("defect")
    notices = {one.defect_id: one for one in out}
    untold = [one for one in dangers if one.pk not in notices or notices[one.pk].wants_telling]
    return [
        f"{one.description} - the customer has no mail address and has not been told. Hand the do-not-use"
        " notice over or telephone, and note it on the installation’s page."
        for one in untold
    ]


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
