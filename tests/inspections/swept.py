"""A sweep that finds what it cannot mend, and the repair that follows, for tests of defects."""

from __future__ import annotations

from datetime import datetime, timedelta

from inspections.models import Defect, SignOff, SiteRecord
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.records import record_begin
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import Crew, Job, JobStatus, User
from tests.factories import NOW, VisitFactory
from tests.inspections.closing import INK, passing_text, photo_make

LATER = NOW + timedelta(days=3)


def stage_work(
    record: SiteRecord, key: str, by: User, now: datetime = NOW, given: dict[str, str] | None = None
) -> None:
    """Answer a stage, well unless `given` says otherwise, and sign it."""
    stage = record.stages.get(key=key)
    done: set[str] = set()
    while True:
        view = record_view(record).stage(key)
        assert view is not None
        waiting = [one for one in view.items if one.key not in done and not one.key.endswith("-found")]
        if not waiting:
            break
        for item in waiting:
            done.add(item.key)
            system = record.job.installation.site.unit_system
            photo = None
            if item.item.kind == "photo":
                photo = photo_make(job=record.job, by=by, number=record.photos_taken, now=now)
                record.photos_taken += 1
            text = (given or {}).get(item.key) or ("" if photo else passing_text(item, system))
            answer_record(stage=stage, item=item.key, raw_text=text, by=by, now=now, photo=photo)
    stage_sign(stage=stage, by=by, name=by.name, now=now + timedelta(hours=1), **INK)


def job_work(record: SiteRecord, by: User, now: datetime = NOW, given: dict[str, str] | None = None) -> None:
    """Work and sign every stage of a record."""
    record.photos_taken = 1
    for stage in record.stages.order_by("position"):
        stage_work(record, stage.key, by, now, given)


def sign_off(record: SiteRecord, by: User, now: datetime = NOW + timedelta(hours=3)) -> SignOff:
    """Sign a record off."""
    return record_sign_off(record=record, by=by, name=by.name, now=now, **INK)


def repair_begin(job: Job, crew: Crew, by: User, now: datetime = LATER) -> SiteRecord:
    """Send a crew to a repair and begin it."""
    Job.objects.filter(pk=job.pk).update(status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=crew, starts_at=now, ends_at=now + timedelta(hours=4))
    return record_begin(job=Job.objects.get(pk=job.pk), by=by, now=now)


def only_defect(**told: object) -> Defect:
    """Return the one defect there is of a sort."""
    return Defect.objects.get(**told)
