"""A job with a row of every kind that the evidence log speaks of."""

from __future__ import annotations

from datetime import timedelta

from django.db import connection

from config.evidence import ROWS
from inspections.models import SiteRecord, TabletEntry
from inspections.services.certificates import certificate_issue, certificate_withdraw
from inspections.services.defects import defect_grade, defect_report, waiver_accept
from inspections.services.late_entries import late_entry_look
from inspections.services.notices import notice_told
from inspections.services.returns import record_return
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.evidence_guards import guards_take_off
from jobs.models import AccessWay, Job, User
from jobs.services.document_access import paper_access_note
from jobs.services.evidence_checks import Break, EvidenceCheck
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, work_through
from tests.inspections.reopened import REOPENED_AT, put_right, reopen, sign_again
from tests.inspections.sealed import rendered
from tests.inspections.sending import Tablet, answered

WAIVED = {"authority": "Town of Millbrook Falls, building official", "reason": "Seen and accepted."}
SAID = {"now": NOW + timedelta(hours=2)}


def job_proved(*, office: User, installer: User, inspector: User, closed: bool = True) -> Job:
    """Return a job worked, sent back, corrected, entered too late, signed off, certified twice, withdrawn.

    One danger on it was told by telephone and graded down, and is left to a repair that is there too.
    """
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, kind="annual sweep")
    record = work_through(job=job, by=installer, inspector=inspector)
    first = record.stages.first()
    _send_back(record, first, installer, inspector)
    item = first.answers.exclude(kind="photo").first().item
    tablet = Tablet(job, installer)
    tablet.send(answered(first.key, item, "yes", saw=first.answers.filter(item=item).last().entry))
    stage_sign(stage=first, by=installer, name=installer.name, **INK, **SAID)
    tablet.send(answered(first.key, item, "no"))
    late = TabletEntry.objects.get(job=job, outcome="late")
    late_entry_look(entry=late, by=inspector, note="It changes nothing.", **SAID)
    if closed:
        _close(record, inspector)
    return Job.objects.get(pk=job.pk)


def _send_back(record: SiteRecord, stage, installer: User, inspector: User) -> None:
    defect_report(stage=stage, description="A cracked tile by the door", by=inspector, **SAID)
    record_return(record=record, by=inspector, reason="Look again.", stages=[stage.key], **SAID)
    for defect in stage.defects.filter(closed_at=None):
        waiver_accept(defect=defect, by=inspector, **WAIVED, **SAID)
    _leave_danger(stage, inspector)


def _leave_danger(stage, inspector: User) -> None:
    told = {"by": inspector, **SAID}
    danger = defect_report(stage=stage, description="The cap is loose", severity="danger", **told)
    notice_told(notice=danger.notices.get(), **told)
    defect_grade(defect=danger, severity="correct", reason="It stands; one screw is gone.", **told)


def _close(record: SiteRecord, inspector: User) -> None:
    told = {"by": inspector, "now": NOW + timedelta(hours=3)}
    sign_off = record_sign_off(record=record, name=inspector.name, remarks="Tidy.", **INK, **told)
    first = sign_off.certificates.get()
    rendered(first)
    paper_access_note(document=first.document, way=AccessWay.PAGE, by=inspector, now=told["now"])
    reopen(record, inspector)
    put_right(record, record.begun_by)
    again = sign_again(record, inspector)
    second = again.certificates.get()
    rendered(second)
    told["now"] = REOPENED_AT + timedelta(hours=4)
    new = certificate_issue(sign_off=again, supersedes=second, reason="A name was wrong.", **told)
    rendered(new)
    certificate_withdraw(certificate=new, reason="The house was sold.", **told)


def breaks(job: Job | None = None, **told) -> list[Break]:
    """Return what verifying finds."""
    jobs = Job.objects.all() if job is None else Job.objects.filter(pk=job.pk)
    return list(EvidenceCheck(ROWS, **told).breaks(jobs))


def guards_off() -> None:
    """Take the triggers off, as somebody with the disk would; the test's transaction puts them back."""
    connection.check_constraints()
    guards_take_off(connection)
