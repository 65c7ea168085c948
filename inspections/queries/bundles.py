"""Job bundles: what a tablet takes along of one job, limits already computed."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from calcs.checks import Limit
from inspections.checklists import Checklist, checklist_for, checklist_get
from inspections.errors import InspectionsError
from inspections.models import SignOff, SiteRecord
from inspections.queries.beginning import begin_refusal
from inspections.queries.bundle_found import answer_parts, defect_parts, defects_of, late_parts
from inspections.queries.bundle_plan import plan_part
from inspections.queries.bundle_shape import (
    BegunPart,
    Bundle,
    ChecklistPart,
    JobPart,
    MayPart,
    SigningPart,
    SitePart,
    VisitPart,
)
from inspections.queries.bundle_stages import stage_parts
from inspections.queries.crews import works_on
from inspections.queries.last_time import last_times
from inspections.queries.limits import facts_to_pin, limits_to_pin, plan_of
from inspections.queries.open_defects import dangers_of
from inspections.services.answerable import answer_for
from jobs.cautions import work_cautions
from jobs.errors import JobsError
from jobs.models import Job, JobKind, JobStatus, Plan, Shop, Site, User
from jobs.queries.paper_parts import site_part

_NO_CHECKLIST = Checklist(key="", version=0, title="", kinds=(), stages=())


@dataclass(frozen=True)
class _Held:
    """What a job is held to: pinned when the work began, before that as it would be pinned now."""

    checklist: Checklist
    record: SiteRecord | None = None
    plan: Plan | None = None
    facts: Mapping[str, Any] = field(default_factory=dict)
    limits: Mapping[str, Any] = field(default_factory=dict)
    refusal: str = ""


def bundle_of(job: Job, user: User, now: datetime) -> Bundle:
    """Return the bundle of a job for somebody who may see it; as many queries for long records as short."""
    site = job.installation.site
    held = _held(job, user)
    checklist = held.checklist.in_units(site.unit_system)
    plan, says = plan_part(held.plan, site.unit_system)
    record = held.record
    defects = defects_of(record) if record else []
    limits = {name: Limit.from_dict(data) for name, data in held.limits.items()}
    return Bundle(
        made_at=now,
        job=JobPart(
            id=job.pk,
            number=job.number,
            kind=job.get_kind_display(),
            status=job.status,
            status_words=job.get_status_display(),
        ),
        site=_site(site),
        visits=visit_parts(job),
        may=_may(job, user, held),
        refusal=held.refusal,
        cautions=work_cautions(site.unit_system),
        may_carry=job.kind != JobKind.NEW_INSTALLATION,
        do_not_use=_elsewhere(job),
        checklist=ChecklistPart(title=checklist.title, version=checklist.version),
        record=BegunPart(begun_at=record.begun_at, begun_by=record.begun_by.name) if record else None,
        stages=stage_parts(
            checklist,
            facts=held.facts,
            limits=limits,
            plan_says=says,
            record=record,
            last=last_times(job, record, checklist),
            system=site.unit_system,
        ),
        answers=answer_parts(record, checklist, defects, site.unit_system) if record else [],
        defects=defect_parts(defects, limits, site.unit_system),
        late=late_parts(job, checklist, defects),
        signed_off=_signed_off(record),
        plan=plan,
    )


def _elsewhere(job: Job) -> list[str]:
    """Open dangers of the stove that were found on another job: this one's own stand in its record."""
    dangers = dangers_of(job.installation)
    return [one.description for one in dangers if one.stage.record.job_id != job.pk]


def bundle_tag(bundle: Bundle) -> str:
    """Return a strong tag of what a bundle says; when it was made is no part of that."""
    said = bundle.model_dump_json(by_alias=True, exclude={"made_at"})
    return f'"{hashlib.sha256(said.encode()).hexdigest()[:32]}"'


def visit_parts(job: Job) -> list[VisitPart]:
    """Return when crews go to a job, cancelled visits left out."""
    visits = getattr(job, "standing_visits", None)
    if visits is None:
        visits = job.visits.filter(cancelled_at=None).select_related("crew")
    return [
        VisitPart(starts_at=one.starts_at, ends_at=one.ends_at, crew=one.crew.name, note=one.note)
        for one in visits
    ]


def address_lines(site: Site) -> list[str]:
    """Return where a house is, a line each."""
    lines: list[str] = site_part(site)["lines"]
    return lines


def _held(job: Job, user: User) -> _Held:
    record = SiteRecord.objects.filter(job=job).select_related("plan", "begun_by").first()
    plan = (record.plan if record else None) or plan_of(job)
    if record is not None:
        checklist = checklist_get(record.checklist, record.checklist_version)
        return _Held(checklist, record, plan, record.facts, record.limits)
    refusal = begin_refusal(job, user)
    try:
        checklist = checklist_for(kind=job.kind, route=job.installation.route)
    except JobsError as error:
        return _Held(_NO_CHECKLIST, plan=plan, refusal=error.sentence)
    sentence = refusal.sentence if refusal else ""
    return _Held(checklist, None, plan, facts_to_pin(job), limits_to_pin(job), sentence)


def _site(site: Site) -> SitePart:
    return SitePart(
        customer=site.customer.name,
        phone=site.customer.phone,
        address=address_lines(site),
        system=site.unit_system,  # type: ignore[arg-type]
        time_zone=site.time_zone,
        access_notes=site.access_notes,
        hazard_notes=site.hazard_notes,
    )


def _may(job: Job, user: User, held: _Held) -> MayPart:
    crew = works_on(user, job)
    begin = held.record is None and not held.refusal
    # What may begin on the tablet goes on there before the server has heard of the beginning.
    return MayPart(
        begin=begin,
        work=crew and (begin or job.status == JobStatus.ON_SITE),
        report=begin or (held.record is not None and job.is_open and (crew or user.may_sign_off)),
        sign_off=job.is_open and _may_answer(job, user, held.record, crew=crew),
    )


def _may_answer(job: Job, user: User, record: SiteRecord | None, *, crew: bool) -> bool:
    if record is None:
        return user.may_sign_off or (crew and Shop.current().one_person)
    try:
        answer_for(record=record, by=user)
    except InspectionsError:
        return False
    return True


def _signed_off(record: SiteRecord | None) -> SigningPart | None:
    if record is None:
        return None
    sign_off = SignOff.objects.filter(record=record, reopening=None).select_related("by").first()
    return SigningPart(by=sign_off.by.name, at=sign_off.at) if sign_off else None
