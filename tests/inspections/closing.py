"""A job worked from its first stage to the sign-off, for tests of what comes after."""

from __future__ import annotations

import io
import uuid
from datetime import datetime, timedelta

from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from PIL import Image

from calcs.units import format_length
from inspections.models import Photo, SignOff, SiteRecord, StageRecord
from inspections.queries.evidence import ItemView
from inspections.queries.records import record_view
from inspections.services.answers import answer_lay
from inspections.services.defects import waiver_accept
from inspections.services.desk import Desk, desk_open
from inspections.services.photos import photo_store
from inspections.services.records import record_begin
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import Job, JobStatus, User
from jobs.services.plans import plan_make
from tests.factories import NOW, JobFactory, SurveyFactory, VisitFactory

SCRAWL = [[[20, 60], [60, 20], [90, 80], [140, 30], [200, 70]], [[210, 40], [211, 41]]]
INK = {"strokes": SCRAWL, "width": 400, "height": 120}
#: Written where the limit does not say what would pass.
TYPED = {
    "length": "22 1/2 in", "draft": "14 Pa", "percent": "15 %", "count": "3", "slope": "1/2 in per ft",
    "thermal resistance": "0.2 m2K/W", "concentration": "0 ppm",
}  # fmt: skip


def job_ready_to_begin(*, office: User, crew, kind="new installation", **installation) -> Job:
    """Return a scheduled job with a visit of the crew, and a plan if its kind has one."""
    survey = SurveyFactory(**{f"installation__{name}": value for name, value in installation.items()})
    plan = plan_make(survey=survey, by=office, now=NOW) if kind == "new installation" else None
    job = JobFactory(installation=survey.installation, kind=kind, plan=plan, status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=crew, starts_at=NOW, ends_at=NOW + timedelta(hours=6))
    return job


def photo_make(*, job: Job, by: User, number: int, now: datetime = NOW) -> Photo:
    """Store a photo like no other of the job."""
    out = io.BytesIO()
    Image.linear_gradient("L").resize((320, 240)).rotate(number * 7).convert("RGB").save(out, "JPEG")
    upload = SimpleUploadedFile("camera.jpg", out.getvalue() + bytes([number % 256]))
    return photo_store(job=job, upload=upload, by=by, now=now)


def passing_text(item: ItemView, system: str) -> str:
    """Return what passes when it is entered for an item."""
    kind = item.item.kind
    if kind == "confirm":
        return "yes"
    if kind == "choose":
        return next(option.key for option in item.item.options if not option.fails)
    if kind in {"note", "photo"}:
        return "Nothing to add."
    limit, quantity = item.limit, item.item.quantity
    if limit is None:
        return TYPED[quantity]
    least = limit.minimum is not None
    value = limit.minimum if least else limit.maximum
    assert value is not None
    written = {
        "length": format_length(value, system, rounding="up" if least else "down"),
        "draft": f"{value + 2:g} Pa",
        "percent": f"{value * 100:g} %",
        "slope": f"{value * 1000 + 1:.0f} mm/m",
        "count": f"{value:g}",
        "thermal resistance": f"{value:g} m2K/W",
        "concentration": "0 ppm",
    }
    return written[quantity]


def work_through(*, job: Job, by: User, inspector: User | None = None, fails: str = "") -> SiteRecord:
    """Answer and sign every stage. What has no limit, or is named in `fails`, fails and is waived."""
    record = record_begin(job=job, by=by, now=NOW)
    for number, stage in enumerate(record.stages.all()):
        _answer_all(record, stage, by=by, fails=fails, photos=100 * number)
        _waive(record, inspector)
        stage_sign(stage=stage, by=by, name=by.name, now=NOW + timedelta(hours=1), **INK)
    return record


@transaction.atomic
def _answer_all(record: SiteRecord, stage: StageRecord, *, by: User, fails: str, photos: int) -> None:
    """Answer a stage on one desk, as what a tablet sends is taken: a quarter of the time of one by one."""
    desk = desk_open(record=record.pk, by=by)
    system = desk.job.installation.site.unit_system
    done: set[str] = set()
    # An answer may bring further items, so the stage is read again until it asks for nothing more.
    while waiting := [one for one in _items(desk, stage.key) if one.key not in done]:
        for item in waiting:
            done.add(item.key)
            photo = None
            if item.item.kind == "photo":
                photo = photo_make(job=desk.job, by=by, number=photos + len(done))
            text = "1 3/4 in" if item.key == fails else passing_text(item, system)
            answer_lay(
                desk=desk,
                stage=desk.stage(stage.key),
                item=item.key,
                raw_text="" if photo else text,
                now=NOW,
                entry=uuid.uuid4(),
                photo=photo,
            )
    desk.put_away()


def _items(desk: Desk, key: str) -> tuple[ItemView, ...]:
    found = desk.view().stage(key)
    assert found is not None
    return found.items


def _waive(record: SiteRecord, inspector: User | None) -> None:
    for defect in record_view(record).open_defects:
        assert inspector is not None, defect
        waiver_accept(
            defect=defect,
            by=inspector,
            authority="Town of Millbrook Falls, building official",
            reason="Listed spacer fitted; accepted in writing.",
            now=NOW,
        )


def job_closed(*, office: User, installer: User, inspector: User, fails: str = "", **told) -> SignOff:
    """Return the sign-off of a job worked from end to end; its certificate waits to be rendered."""
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, **told)
    record = work_through(job=job, by=installer, inspector=inspector, fails=fails)
    return record_sign_off(
        record=record, by=inspector, name=inspector.name, now=NOW + timedelta(hours=3), **INK
    )
