"""The boxes of the Today page that come from records."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Exists, OuterRef, Q

from inspections.checklists import checklist_get
from inspections.models import Severity, SiteRecord, StageReturn, TabletEntry
from inspections.queries.late_entries import LateView, late_entries_to_look_at, late_view
from inspections.queries.open_defects import gravest_first
from inspections.queries.open_defects import open_defects as open_defects_found
from inspections.queries.records import records_visible_to
from jobs.models import Installation, Job, JobStatus, Role, Shop, User
from jobs.panels import Panel, register_panel
from jobs.permissions import EVERYONE, SIGN_OFF, SITE_WORK
from jobs.queries.jobs import in_visible_jobs

SHOWN = 12


def register() -> None:
    """Register this app's panels."""
    register_panel(name="do not use", order=1, roles=EVERYONE, make=do_not_use)
    register_panel(name="sent back", order=7, roles=SITE_WORK, make=sent_back)
    register_panel(name="for sign-off", order=12, roles=(*SIGN_OFF, Role.INSTALLER), make=for_sign_off)
    register_panel(name="late entries", order=13, roles=SIGN_OFF, make=late_entries)
    register_panel(name="open defects", order=14, roles=SIGN_OFF, make=open_defects)
    register_panel(name="open stages", order=16, roles=SITE_WORK, make=open_stages)


@dataclass(frozen=True)
class RecordRow:
    """A record as a list shows it."""

    job: Job
    signed: int
    stages: int
    defects: int
    next_stage: str


@dataclass(frozen=True)
class DangerRow:
    """A stove that is not to be used."""

    installation: Installation
    description: str
    #: Whether nobody has told the customer yet.
    untold: bool


def do_not_use(user: User, now: datetime) -> Panel:
    """Stoves that are not to be used, those whose customer is still to be told first."""
    dangers = (
        open_defects_found()
        .filter(in_visible_jobs(user, "stage__record__job"), current=Severity.DANGER)
        .select_related("stage__record__job__installation__site__customer")
        .prefetch_related("notices")
        .order_by("opened_at", "pk")
    )
    rows = [
        DangerRow(
            installation=one.stage.record.job.installation,
            description=one.description,
            untold=any(notice.wants_telling for notice in one.notices.all()),
        )
        for one in dangers
    ]
    rows.sort(key=lambda row: not row.untold)
    return Panel("Stoves not to be used", "inspections/today/do_not_use.html", rows[:SHOWN], count=len(rows))


def sent_back(user: User, now: datetime) -> Panel:
    """Stages an inspector sent back that nobody has signed again."""
    latest = StageReturn.objects.filter(stage=OuterRef("stage"), pk__gt=OuterRef("pk"))
    rows = (
        StageReturn.objects.filter(
            ~Exists(latest),
            in_visible_jobs(user, "stage__record__job"),
            stage__signed_at=None,
            stage__record__job__status=JobStatus.ON_SITE,
        )
        .select_related("by", "stage__record__job__installation__site__customer")
        .order_by("at", "pk")
    )
    return Panel("Sent back by the inspector", "inspections/today/sent_back.html", list(rows[:SHOWN]))


def for_sign_off(user: User, now: datetime) -> Panel:
    """Jobs whose crew has signed every stage; for an installer only where the shop is one person."""
    if user.role == Role.INSTALLER and not Shop.current().one_person:
        return Panel("Ready for sign-off", "inspections/today/for_sign_off.html", [])
    rows, count = _rows(user, JobStatus.READY)
    empty = "No job is ready for sign-off." if user.role == Role.INSPECTOR else ""
    return Panel("Ready for sign-off", "inspections/today/for_sign_off.html", rows, empty, count=count)


def late_entries(user: User, now: datetime) -> Panel:
    """What came too late for its record and nobody has looked at, the oldest first."""
    late = late_entries_to_look_at(user)
    shown = late.select_related("job__site_record", "job__installation__site__customer")
    rows = [_late_row(one) for one in shown.defer("job__site_record__limits")[:SHOWN]]
    return Panel(
        "Came too late for the record", "inspections/today/late.html", rows, count=late.count() if rows else 0
    )


def _late_row(entry: TabletEntry) -> LateView:
    record: SiteRecord | None = getattr(entry.job, "site_record", None)
    if record is None:
        return late_view(entry, None)
    checklist = checklist_get(record.checklist, record.checklist_version)
    return late_view(entry, checklist.in_units(entry.job.installation.site.unit_system))


def open_defects(user: User, now: datetime) -> Panel:
    """Defects that wait to be put right, the gravest first, the oldest of those first.

    Advice waits for nobody here: it stands in the report and on the installation's page.
    """
    defects = (
        open_defects_found()
        .filter(in_visible_jobs(user, "stage__record__job"))
        .exclude(stage__record__job__status=JobStatus.CANCELLED)
        .exclude(current=Severity.ADVICE)
        .select_related("stage__record__job__installation__site__customer", "opened_by")
        .prefetch_related("gradings")
        .order_by(gravest_first(), "opened_at", "pk")
    )
    rows = list(defects[:SHOWN])
    empty = "No defect is open." if user.role == Role.INSPECTOR else ""
    return Panel("Open defects", "inspections/today/defects.html", rows, empty, count=defects.count())


def open_stages(user: User, now: datetime) -> Panel:
    """Jobs on site and the stage each waits for."""
    rows, count = _rows(user, JobStatus.ON_SITE)
    return Panel("Open stages", "inspections/today/open_stages.html", rows, count=count)


def _rows(user: User, status: str) -> tuple[list[RecordRow], int]:
    """Return the records that have waited longest, and how many there are."""
    records = records_visible_to(user).filter(job__status=status)
    shown = (
        records.annotate(open_count=Count("stages__defects", filter=Q(stages__defects__closed_at=None)))
        .defer("facts", "limits", "plan__data")
        .prefetch_related("stages")
        .order_by("begun_at", "pk")
    )
    return [_row(record, record.open_count) for record in shown[:SHOWN]], records.count()


def _row(record: SiteRecord, defects: int) -> RecordRow:
    stages = list(record.stages.all())
    signed = {stage.key for stage in stages if stage.is_signed}
    told = checklist_get(record.checklist, record.checklist_version).stages
    return RecordRow(
        job=record.job,
        signed=len(signed),
        stages=len(stages),
        defects=defects,
        next_stage=next((stage.title for stage in told if stage.key not in signed), ""),
    )
