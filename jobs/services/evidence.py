"""Writing into the evidence log: each event takes the hash of the one before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from jobs.evidence_chain import EvidenceEntry, genesis, links
from jobs.evidence_rows import RowKind, said
from jobs.models import EvidenceEvent, EvidencePrivate, Job, User


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
    for link in links(job=job.number, number=number, previous=previous, entries=entries):
        events.append(EvidenceEvent(job=job, **link.event))
        if link.private is not None:
            privates.append(EvidencePrivate(event=events[-1], **link.private))
    EvidenceEvent.objects.bulk_create(events)
    if privates:
        EvidencePrivate.objects.bulk_create(privates)
    return events


def evidence_row(*, job: Job, kind: RowKind, row: Any, **more: Any) -> EvidenceEvent:
    """Log a row that was added; `more` are facts that stand in no column of it."""
    return evidence_append_all(job=job, entries=[row_entry(kind, row, **more)])[0]


def evidence_later(*, job: Job, kind: RowKind, later: str, row: Any, by: User | None = None) -> EvidenceEvent:
    """Log what was added to a row later."""
    return evidence_append_all(job=job, entries=[later_entry(kind, later, row, by)])[0]


def row_entry(kind: RowKind, row: Any, **more: Any) -> EvidenceEntry:
    """Return what is logged of a row that was added."""
    return EvidenceEntry(
        kind=kind.event_kind(row),
        subject=kind.subject(row),
        facts={**said(kind.facts, row), **more},
        at=getattr(row, kind.at),
        by=getattr(row, kind.by) if kind.by else None,
        device=getattr(row, kind.device) if kind.device else "",
        private=said(kind.private, row),
    )


def later_entry(kind: RowKind, later: str, row: Any, by: User | None = None) -> EvidenceEntry:
    """Return what is logged of what was added to a row later."""
    told = next(one for one in kind.later if one.kind == later)
    return EvidenceEntry(
        kind=told.kind,
        subject=kind.subject(row),
        facts=said(told.facts, row),
        at=getattr(row, told.at),
        by=by,
    )


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
