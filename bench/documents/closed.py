"""The invented shop's first house, worked to its sign-off, and its certificate with two dozen photos."""

from __future__ import annotations

import copy
import io
import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from PIL import Image

from bench.tablet.house import HOUSE, House
from config.demo.hands import signature
from config.demo.pictures import photo
from config.demo.site_work import Workday
from inspections.services.photos import photo_store
from inspections.services.print_copies import print_copy_read
from inspections.services.signoff import record_sign_off
from jobs.models import Document, DocumentKind, Job, Role, User
from jobs.services.documents import document_request
from jobs.services.jobs import job_create, job_plan
from jobs.services.visits import visit_schedule

PHOTOS = 24
#: Grain a drawing is given, so that it weighs what a photo taken in an attic weighs.
GRAIN = 22.0


@dataclass(frozen=True)
class Closed:
    """A closed job and the frozen context of its certificate."""

    job: Job
    context: dict[str, Any]

    @classmethod
    def build(cls, house: House) -> Closed:
        """Work a job to its end; then fill its certificate up to two dozen photos, all of them with grain."""
        now = datetime.now(UTC)
        job = job_create(
            installation=house.plan.survey.installation, kind="new installation", by=house.office, now=now
        )
        job_plan(job=job, plan=house.plan, by=house.office, now=now)
        visit_schedule(
            job=job, crew=house.crew, starts_at=now, ends_at=now + timedelta(hours=8), by=house.office,
            now=now, despite_clash=True,
        )  # fmt: skip
        job.refresh_from_db()
        inspector = User.objects.filter(role=Role.INSPECTOR).earliest("pk")
        day = Workday(job, house.installer, inspector, {"house": HOUSE}, now - timedelta(hours=12))
        record_sign_off(record=day.work(), by=inspector, now=now, **signature(inspector.name))
        certificate = Document.objects.get(job=job, kind=DocumentKind.CERTIFICATE)
        return cls(job, _filled(certificate.context, job, house.installer, now))

    def ask(self) -> Document:
        """Ask for the certificate's paper once more, as a sign-off does."""
        return document_request(
            job=self.job, kind=DocumentKind.CERTIFICATE, title="Closing certificate", context=self.context,
            for_customer=True, now=datetime.now(UTC),
        )  # fmt: skip


def _filled(context: dict[str, Any], job: Job, by: User, now: datetime) -> dict[str, Any]:
    context = copy.deepcopy(context)
    told = context["photos"]
    parts = [{**told[number % len(told)], "number": number + 1} for number in range(PHOTOS)]
    for part in parts:
        content = _grained(part["ask"], part["number"])
        upload = UploadedFile(io.BytesIO(content), size=len(content))
        kept = photo_store(job=job, upload=upload, by=by, now=now)
        part |= {"sha256": kept.sha256, "mark": kept.sha256[:16]}
        # The worker makes this copy when a photo arrives.
        print_copy_read(sha256=kept.sha256)
    return {**context, "photos": parts, "pictures": sorted(part["sha256"] for part in parts)}


def _grained(words: str, number: int) -> bytes:
    drawn = Image.open(io.BytesIO(photo(words=words, stage="", footer=f"Photo {number}")))
    chance = random.Random(number)  # noqa: S311  (grain, not a secret)
    noise = Image.frombytes("L", drawn.size, chance.randbytes(drawn.width * drawn.height))
    grain = noise.point(lambda value: round(128 + (value - 128) * GRAIN / 74))
    bands = [Image.blend(band, grain, 0.25) for band in drawn.convert("RGB").split()]
    out = io.BytesIO()
    Image.merge("RGB", bands).save(out, "JPEG", quality=85)
    return out.getvalue()
