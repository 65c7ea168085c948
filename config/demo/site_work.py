"""The crew's day: every item answered, every stage signed, the way the tablet sends it."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.core.files.uploadedfile import UploadedFile

from config.demo.hands import answer, signature
from config.demo.pictures import photo
from inspections.models import SiteRecord, StageRecord
from inspections.queries.evidence import ItemView
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import defect_report, waiver_accept
from inspections.services.photos import photo_store
from inspections.services.records import record_begin
from inspections.services.stages import stage_sign
from jobs.models import Job, User

DEVICE = "Shop tablet 2"
BETWEEN_ANSWERS = timedelta(minutes=2, seconds=40)


@dataclass
class Workday:
    """One crew at one job, with the quirks the file tells of it."""

    job: Job
    installer: User
    inspector: User
    told: dict[str, Any]
    clock: datetime

    def __post_init__(self) -> None:
        self.chance = random.Random(self.told["house"])  # noqa: S311  (measures, not secrets)
        self.system = self.job.installation.site.unit_system
        self.corrected = {one["item"]: one["first"] for one in self.told.get("corrected", ())}
        self.waived = {one["item"]: one for one in self.told.get("waived", ())}

    def work(self) -> SiteRecord:
        """Work the job as far as the file says: to the end, or some stages and half of the next."""
        record = record_begin(job=self.job, by=self.installer, now=self._next())
        signed_stages = self.told.get("signed_stages")
        for number, stage in enumerate(record.stages.all()):
            if number == signed_stages:
                self._begin_stage(record, stage)
                return record
            self._answer_all(record, stage)
            self._report(stage)
            self._accept_defects(record)
            stage_sign(stage=stage, by=self.installer, now=self._next(), **signature(self.installer.name))
        return record

    def _begin_stage(self, record: SiteRecord, stage: StageRecord) -> None:
        standing = self.told["open_defect"]
        item = self._answer_all(record, stage, until=standing["item"])
        if item is not None:
            self._enter(stage, item, standing["text"])

    def _answer_all(self, record: SiteRecord, stage: StageRecord, *, until: str = "") -> ItemView | None:
        """Answer everything, and what answers bring with them; stop at one item and return it."""
        done: set[str] = set()
        while waiting := [one for one in self._items(record, stage) if one.key not in done]:
            for item in waiting:
                if item.key == until:
                    return item
                done.add(item.key)
                if item.item.kind == "photo":
                    self._photograph(stage, item)
                else:
                    self._answer(stage, item)
        return None

    def _answer(self, stage: StageRecord, item: ItemView) -> None:
        told = self.told.get("answers", {})
        if item.item.kind == "note" and item.key not in told and not item.required:
            return
        if item.key in self.corrected:
            self._enter(stage, item, self.corrected[item.key])
        if item.key in self.waived:
            self._enter(stage, item, self.waived[item.key]["text"])
        else:
            self._enter(stage, item, told.get(item.key) or answer(item, self.system, self.chance))

    def _enter(self, stage: StageRecord, item: ItemView, text: str) -> None:
        now = self._next()
        answer_record(
            stage=stage,
            item=item.key,
            raw_text=text,
            by=self.installer,
            now=now,
            device=DEVICE,
            device_time=now - timedelta(seconds=2),
        )

    def _photograph(self, stage: StageRecord, item: ItemView) -> None:
        now = self._next()
        site = self.job.installation.site
        content = photo(
            words=item.item.ask,
            stage=stage.key,
            footer=f"Drawing in place of a photo: {site}, {now:%-d %B %Y}",
        )
        picture = photo_store(
            job=self.job,
            upload=UploadedFile(io.BytesIO(content), size=len(content)),
            by=self.installer,
            now=now,
        )
        answer_record(
            stage=stage, item=item.key, raw_text="", by=self.installer, now=now, photo=picture, device=DEVICE
        )

    def _report(self, stage: StageRecord) -> None:
        for told in self.told.get("reported", ()):
            if told["stage"] == stage.key:
                defect_report(
                    stage=stage,
                    description=told["text"],
                    severity=told["severity"],
                    place=told["place"],
                    by=self.installer,
                    now=self._next(),
                )

    def _accept_defects(self, record: SiteRecord) -> None:
        for defect in record_view(record).open_defects:
            told = self.waived.get(defect.item)
            if told is None:
                continue
            waiver_accept(
                defect=defect,
                by=self.inspector,
                authority=told["authority"],
                reason=told["reason"],
                now=self._next(),
            )

    def _items(self, record: SiteRecord, stage: StageRecord) -> tuple[ItemView, ...]:
        view = record_view(record).stage(stage.key)
        return view.items if view else ()

    def _next(self) -> datetime:
        self.clock += BETWEEN_ANSWERS
        return self.clock
