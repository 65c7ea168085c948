"""A tablet as the tests of entries have it: it makes entries and sends them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from inspections.models import Photo
from inspections.services.entries import entries_take
from inspections.services.sent_entries import EntryResult, Sender, SentEntry, SentSignature
from jobs.models import Job, User
from tests.factories import NOW
from tests.inspections.closing import INK

SIGNED = SentSignature(strokes=INK["strokes"], width=INK["width"], height=INK["height"])


def entry(kind: str, stage: str = "", item: str = "", text: str = "", **told: Any) -> SentEntry:
    """Return an entry as a tablet makes it."""
    whole = {"entry": uuid.uuid4(), "taken_at": NOW, **told}
    return SentEntry(kind=kind, stage=stage, item=item, text=text, **whole)


def answered(stage: str, item: str, text: str, **told: Any) -> SentEntry:
    """Return an answer."""
    return entry("answer", stage, item, text, **told)


def signed(stage: str, **told: Any) -> SentEntry:
    """Return a signature of a stage."""
    return entry("signature", stage, **{"signature": SIGNED, **told})


def pictured(stage: str, item: str, photo: Photo, **told: Any) -> SentEntry:
    """Return the entry of a photo whose bytes have arrived."""
    return entry("photo", stage, item, entry=photo.entry, sha256=photo.sha256, **told)


@dataclass
class Tablet:
    """One device in one person's hands."""

    job: Job
    by: User
    device: str = field(default_factory=lambda: str(uuid.uuid4()))
    clock_skew: float | None = 0.0

    def send(
        self, *sent: SentEntry, now: datetime = NOW, brought_in_by: User | None = None
    ) -> list[EntryResult]:
        """Send a batch."""
        return entries_take(
            job=self.job,
            by=self.by,
            sent=sent,
            sender=Sender(device=self.device, app="1", clock_skew=self.clock_skew),
            now=now,
            brought_in_by=brought_in_by,
        )

    def send_one(self, sent: SentEntry, **told: Any) -> EntryResult:
        """Send one entry."""
        return self.send(sent, **told)[0]
