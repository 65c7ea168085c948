"""Receipts of entries: what is kept of each, and what its tablet hears, the first time and every time."""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from typing import Any

from inspections.errors import InspectionsError
from inspections.models import Answer, Defect, EntryKind, EntryOutcome, Photo, TabletEntry
from inspections.services.sent_entries import EntryResult, Sender, SentEntry
from jobs.models import Job, User

LONGEST_TEXT = 4000
_KEY = re.compile(r"[-\w]{0,60}", re.ASCII)


@dataclass(frozen=True)
class Delivery:
    """What all entries of one batch have in common."""

    job: Job
    by: User
    sender: Sender
    now: datetime
    brought_in_by: User | None = None

    @property
    def device(self) -> str:
        """The tablet as an answer keeps it."""
        return f"tablet {self.sender.device}".strip()[:120]

    def is_from_here(self, answer: Answer) -> bool:
        """Whether an answer came from this very tablet and person, who therefore know of it."""
        return bool(self.sender.device) and answer.device == self.device and answer.by_id == self.by.pk


@dataclass(frozen=True)
class Taken:
    """What became of an entry that is kept."""

    outcome: str = EntryOutcome.ACCEPTED
    code: str = ""
    sentence: str = ""
    verdict: str = ""
    said: str = ""
    margin: str = ""
    answer: Answer | None = None
    defect: Defect | None = None
    photo: Photo | None = None


def entry_check(sent: SentEntry) -> None:
    """Refuse what could not be kept as it was sent."""
    broken = InspectionsError(
        "entry_broken", "This entry did not arrive as anything that can be kept. Enter it again."
    )
    if sent.kind not in EntryKind.values or not (_KEY.fullmatch(sent.stage) and _KEY.fullmatch(sent.item)):
        raise broken
    if len(sent.text) > LONGEST_TEXT:
        raise InspectionsError("text_too_long", f"Keep what is written to {LONGEST_TEXT} characters.")
    try:
        # No database keeps a character without a number or half of one.
        plain = json.dumps(_raw(sent), ensure_ascii=False, allow_nan=False).encode()
    except (ValueError, TypeError) as error:
        raise broken from error
    if b"\\u0000" in plain:
        raise broken


def receipt_make(*, delivery: Delivery, sent: SentEntry, taken: Taken) -> TabletEntry:
    """Return the row by which an entry is known for good, not yet kept."""
    return TabletEntry(
        entry=sent.entry,
        job=delivery.job,
        kind=sent.kind,
        stage=sent.stage,
        item=sent.item,
        raw=_raw(sent),
        digest=entry_digest(delivery.job, sent),
        by=delivery.by,
        device=delivery.sender.device[:120],
        app=delivery.sender.app[:60],
        taken_at=clock_time(sent.taken_at),
        received_at=delivery.now,
        clock_skew=_finite(delivery.sender.clock_skew),
        tablet_verdict=sent.verdict[:10],
        brought_in_by=delivery.brought_in_by,
        **{name: getattr(taken, name) for name in Taken.__dataclass_fields__},
    )


def receipt_result(receipt: TabletEntry) -> EntryResult:
    """Return what a tablet hears of an entry that is kept."""
    return EntryResult(
        entry=receipt.entry,
        outcome=receipt.outcome,
        code=receipt.code,
        sentence=receipt.sentence,
        verdict=receipt.verdict,
        differs=receipt.differs,
        said=receipt.said,
        margin=receipt.margin,
        received_at=receipt.received_at,
    )


def entry_digest(job: Job, sent: SentEntry) -> str:
    """Return a hash of what a person entered. What the app adds may change when it is brought up to date."""
    ink = sent.signature
    told: list[Any] = [
        job.pk,
        sent.kind,
        sent.stage,
        sent.item,
        sent.text,
        sent.sha256,
        asdict(ink) if ink else None,
    ]
    if sent.severity or sent.place:
        told += [sent.severity, sent.place]
    plain = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(plain.encode()).hexdigest()


def clock_time(told: datetime | None) -> datetime | None:
    """Return a time of a tablet's clock; None for one that is no moment anywhere."""
    if told is None or told.utcoffset() is None:
        return None
    try:
        return told.astimezone(UTC)
    except OverflowError:
        return None


def _raw(sent: SentEntry) -> Mapping[str, Any]:
    bare = replace(sent, raw={})
    ink = {"signature": asdict(bare.signature)} if bare.signature else {}
    saw = str(bare.saw) if bare.saw else None
    told = sent.raw or {"saw": saw, "sha256": bare.sha256, "severity": bare.severity, "place": bare.place}
    return {**told, "text": sent.text, **ink}


def _finite(skew: float | None) -> float | None:
    return skew if skew is not None and math.isfinite(skew) else None
