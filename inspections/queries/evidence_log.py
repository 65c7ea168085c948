"""A job's evidence log as its page shows it and as its file holds it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Max, QuerySet
from pydantic import BaseModel, ConfigDict, Field, RootModel

from jobs.evidence_chain import canonical, genesis
from jobs.models import EvidenceEvent, Job

#: What a line of the list tells of an event; the rest is folded away.
_TOLD = (
    "stage", "item", "raw_text", "outcome", "signs", "checklist", "title", "serial",
    "certificate", "entered", "defect", "closed_by_answer",
)  # fmt: skip
_HASH = "^[0-9a-f]{64}$"


@dataclass(frozen=True)
class EvidenceHead:
    """Where a job's chain ends."""

    events: int
    head: str


@dataclass(frozen=True)
class EventView:
    """One event in words."""

    event: EvidenceEvent
    #: What happened, such as "Defect opened".
    title: str
    told: str
    facts: tuple[tuple[str, str], ...]
    private: tuple[tuple[str, str], ...]
    #: Whether its private part was forgotten on purpose.
    is_forgotten: bool


def evidence_head_of(job: Job) -> EvidenceHead:
    """Return the last link of a job's chain and how many there are."""
    last = job.evidence.order_by("-number").values_list("number", "hash").first()
    return EvidenceHead(*(last or (0, genesis(job.number))))


def events_of(job: Job) -> QuerySet[EvidenceEvent]:
    """Return a job's events, oldest first, with their private parts."""
    return job.evidence.order_by("number").select_related("private")


def event_view(event: EvidenceEvent) -> EventView:
    """Return an event in words."""
    facts = json.loads(event.facts)
    private = getattr(event, "private", None)
    return EventView(
        event=event,
        title=event.kind.capitalize(),
        told=_told(facts),
        facts=_pairs(facts),
        private=_pairs(json.loads(private.content)) if private else (),
        is_forgotten=bool(event.private_commitment) and private is None,
    )


def evidence_lines(job: Job) -> Iterator[str]:
    """Return the lines of a job's evidence file, without their ends.

    An event's line is the very text that is hashed: its SHA-256 is what the next event holds as `previous`.
    """
    number, head = 0, genesis(job.number)
    last = job.evidence.aggregate(last=Max("number"))["last"] or 0
    # The file ends where the chain did when it was asked for, whoever adds to it meanwhile.
    for event in events_of(job).filter(number__lte=last).iterator(chunk_size=500):
        yield event.hashed_text
        if private := getattr(event, "private", None):
            yield canonical({"content": private.content, "private_of": event.number, "salt": private.salt})
        number, head = event.number, event.hash
    yield canonical({"end_of": job.number, "events": number, "head": head})


def _told(facts: dict[str, Any]) -> str:
    if {"old", "new"} <= facts.keys():
        return f"{facts['old'] or 'none'} to {facts['new']}"
    return ", ".join(_words(facts[name]) for name in _TOLD if facts.get(name) not in (None, ""))


def _pairs(told: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    return tuple((name.replace("_", " "), _words(value)) for name, value in told.items())


def _words(value: Any) -> str:
    if value is None or value == "":
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("_", " ")
    return canonical(value)


class EvidenceActor(BaseModel):
    """Who did it, by the name they had then."""

    model_config = ConfigDict(extra="forbid")

    id: int
    name: str


class EventLine(BaseModel):
    """One link. The line's own bytes, without its end, are what is hashed."""

    model_config = ConfigDict(extra="forbid")

    at: str = Field(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z$")
    by: EvidenceActor | None
    device: str
    facts: dict[str, Any]
    job: str = Field(pattern=r"^J-\d{4,}$")
    kind: str
    number: int = Field(ge=1)
    previous: str = Field(pattern=_HASH)
    private: str = Field(pattern="^([0-9a-f]{64})?$")
    subject: str


class PrivateLine(BaseModel):
    """The private part of the event before it; not there where it was forgotten."""

    model_config = ConfigDict(extra="forbid")

    content: str = Field(description="Canonical JSON; SHA-256(salt then content) is the event's `private`.")
    private_of: int = Field(ge=1)
    salt: str = Field(pattern="^[0-9a-f]{32,64}$")


class EndLine(BaseModel):
    """That the file is whole, and where the chain ends."""

    model_config = ConfigDict(extra="forbid")

    end_of: str
    events: int
    head: str = Field(pattern=_HASH)


class EvidenceLine(RootModel[EventLine | PrivateLine | EndLine]):
    """One line of a job's evidence file."""


FORMAT = "application/jsonl"
