"""Batches of entries, and what became of each entry."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, Field

from inspections.services.entry_reading import AnyEntry
from inspections.services.sent_entries import EntryResult

MOST_ENTRIES = 50


class EntriesIn(BaseModel):
    """A batch of entries of one job."""

    entries: Annotated[list[AnyEntry], Field(min_length=1, max_length=MOST_ENTRIES)]


class EntryResultOut(BaseModel):
    """What became of one entry."""

    entry: str = Field(description="UUID as sent; empty where none could be read.")
    outcome: Literal["accepted", "late", "refused", "wants_photo"]
    code: str = ""
    sentence: str = ""
    verdict: Literal["pass", "fail", "unknown", "recorded", ""] = Field(
        default="", description="The server's."
    )
    differs: bool = Field(default=False, description="Whether the tablet had come to another verdict.")
    said: str = ""
    margin: str = ""
    received_at: datetime | None = None


class EntriesOut(BaseModel):
    """What became of a batch, entry by entry, in the order sent."""

    server_time: datetime
    clock_skew: float | None = Field(
        description="By how many seconds the tablet's clock is ahead; null where it did not say."
    )
    results: list[EntryResultOut]


def result_out(result: EntryResult) -> EntryResultOut:
    """Return a result as it travels."""
    return EntryResultOut(
        entry=str(result.entry),
        outcome=result.outcome,  # type: ignore[arg-type]
        code=result.code,
        sentence=result.sentence,
        verdict=result.verdict,  # type: ignore[arg-type]
        differs=result.differs,
        said=result.said,
        margin=result.margin,
        received_at=result.received_at,
    )
