"""Visits to one house over the years, each worked from its first stage to the sign-off."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from inspections.models import Photo, SignOff, SiteRecord
from inspections.queries.evidence import ItemView
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.records import record_begin
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import Installation, Job, JobStatus, User
from tests.factories import JobFactory, VisitFactory
from tests.inspections.closing import INK, passing_text, photo_make


def visit_planned(*, installation: Installation, kind: str, crew, now: datetime) -> Job:
    """Return a job the crew drives to."""
    job = JobFactory(installation=installation, kind=kind, status=JobStatus.SCHEDULED, created_at=now)
    VisitFactory(job=job, crew=crew, starts_at=now, ends_at=now + timedelta(hours=6))
    return job


def visit_worked(
    *,
    installation: Installation,
    kind: str,
    by: User,
    now: datetime,
    answers: Mapping[str, str] | None = None,
) -> SiteRecord:
    """Answer every item, as `answers` says or so that it passes, and sign every stage; defects stay open."""
    job = visit_planned(installation=installation, kind=kind, crew=by.technician.crew, now=now)
    record = record_begin(job=job, by=by, now=now)
    said, system = answers or {}, installation.site.unit_system
    for stage in record.stages.all():
        done: set[str] = set()
        while waiting := [one for one in _items(record, stage.key) if one.key not in done]:
            for item in waiting:
                done.add(item.key)
                photo = _photo(job, item, by, now)
                text = "" if photo else said.get(item.key, passing_text(item, system))
                answer_record(stage=stage, item=item.key, raw_text=text, by=by, now=now, photo=photo)
        stage_sign(stage=stage, by=by, name=by.name, now=now + timedelta(hours=1), **INK)
    return record


def visit_closed(*, inspector: User, now: datetime, **told) -> SignOff:
    """Return the sign-off of a visit."""
    record = visit_worked(now=now, **told)
    return record_sign_off(
        record=record, by=inspector, name=inspector.name, now=now + timedelta(hours=3), **INK
    )


def _items(record: SiteRecord, key: str) -> tuple[ItemView, ...]:
    found = record_view(record).stage(key)
    assert found is not None
    return found.items


def _photo(job: Job, item: ItemView, by: User, now: datetime) -> Photo | None:
    if item.item.kind != "photo":
        return None
    return photo_make(job=job, by=by, number=len(item.key) * 7 + job.pk, now=now)
