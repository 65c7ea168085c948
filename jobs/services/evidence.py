"""Writing into the evidence log: each event takes the hash of the one before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from jobs.evidence_chain import canonical, commitment, digest, genesis, salt_new
from jobs.models import EvidenceEvent, EvidencePrivate, Job, User


@dataclass(frozen=True)
class EvidenceEntry:
    """What is to be logged, before it has its place in the chain."""

    kind: str
    #: The row it speaks of: "answer:<entry>", "document:12".
    subject: str
    facts: Mapping[str, Any]
    at: datetime
    by: User | None = None
    device: str = ""
    #: What may have to be forgotten; None or empty where there is nothing of the kind.
    private: Mapping[str, Any] | None = None


def evidence_append(
    *,
    job: Job,
    kind: str,
    subject: str,
    facts: Mapping[str, Any],
    at: datetime,
    by: User | None = None,
    device: str = "",
    private: Mapping[str, Any] | None = None,
) -> EvidenceEvent:
    """Add one event to a job's chain, in the transaction that writes the row it speaks of."""
    entry = EvidenceEntry(kind, subject, facts, at, by, device, private)
    return evidence_append_all(job=job, entries=[entry])[0]


@transaction.atomic
def evidence_append_all(*, job: Job, entries: Sequence[EvidenceEntry]) -> list[EvidenceEvent]:
    """Add events to a job's chain in order; many ask no more of the database than one does."""
    if not entries:
        return []
    evidence_lock(job=job)
    number, previous = _head(job)
    events, privates = [], []
    for entry in entries:
        number += 1
        event, private = _link(job, number, previous, entry)
        previous = event.hash
        events.append(event)
        if private is not None:
            privates.append(private)
    EvidenceEvent.objects.bulk_create(events)
    if privates:
        EvidencePrivate.objects.bulk_create(privates)
    return events


def evidence_lock(*, job: Job) -> None:
    """Take the lock under which a job's chain grows; a service that locks other rows too takes it first.

    It lets rows that point to the job be added: two who each add one would wait for each other otherwise.
    SQLite takes its one write lock when the transaction begins.
    """
    Job.objects.select_for_update(no_key=True).only("pk").get(pk=job.pk)


def evidence_head(*, job: Job) -> str:
    """Return the last link of a job's chain, of which it can be told later whether anything was changed."""
    return _head(job)[1]


def _head(job: Job) -> tuple[int, str]:
    last = EvidenceEvent.objects.filter(job=job).order_by("-number").values_list("number", "hash").first()
    return last or (0, genesis(job.number))


def _link(
    job: Job, number: int, previous: str, entry: EvidenceEntry
) -> tuple[EvidenceEvent, EvidencePrivate | None]:
    event = EvidenceEvent(
        job=job,
        number=number,
        kind=entry.kind,
        subject=entry.subject,
        at=entry.at,
        by=entry.by,
        by_name=entry.by.name[:120] if entry.by else "",
        device=entry.device[:120],
        facts=canonical(entry.facts),
        previous=previous,
    )
    private = None
    if entry.private:
        private = EvidencePrivate(event=event, salt=salt_new(), content=canonical(entry.private))
        event.private_commitment = commitment(private.salt, private.content)
    event.hash = digest(event.hashed_text)
    return event, private
