"""The rows of a job that the evidence log speaks of, read a few jobs at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from functools import reduce
from operator import or_
from typing import Any

from django.db.models import F, Q
from django.db.models.functions import Coalesce

from jobs.evidence_chain import EvidenceEntry, genesis, links, time_words
from jobs.evidence_rows import RowKind, said
from jobs.services.evidence import later_entry, row_entry

#: Kind of the events that were made of rows from before there was a log.
TAKEN_OVER = "taken over"
Models = Callable[[str], Any]


def rows_of(models: Models, kind: RowKind, jobs: Sequence[int]) -> Iterator[Any]:
    """Return a kind's rows of some jobs in the order they were made, each with `log_job`."""
    of_jobs = reduce(or_, (Q(**{f"{way}__in": jobs}) for way in kind.ways))
    ways = [F(way) for way in kind.ways]
    model = models(kind.model)
    rows = model.objects.filter(of_jobs).select_related(*_known(model, kind.related))
    job = Coalesce(*ways) if len(ways) > 1 else ways[0]
    yield from rows.annotate(log_job=job).order_by("pk").iterator(chunk_size=500)


def _known(model: Any, related: Sequence[str]) -> list[str]:
    """Leave out what a model of an older shape has not."""
    names = {field.name for field in model._meta.get_fields()}
    return [way for way in related if way.partition("__")[0] in names]


def _there(models: Models, kind: RowKind) -> bool:
    try:
        models(kind.model)
    except LookupError:
        return False
    return True


def evidence_take_over(*, models: Models, kinds: Iterable[RowKind], now: datetime) -> int:
    """Give jobs from before there was a log their chain, made of their rows in order of time.

    Each event says that it was taken over and when: that the row stood so then is proved, not that it did
    before. `models` gives the models by name, a migration's own; kinds of rows it has not yet are left out.
    """
    logged = [kind for kind in kinds if kind.kind and _there(models, kind)]
    count = 0
    jobs = models("jobs.Job").objects.filter(evidence=None).order_by("pk")
    for pk in list(jobs.values_list("pk", flat=True)):
        entries = sorted(_entries(models, logged, pk, now), key=lambda one: one.at)
        count += _write(models, pk, entries)
    return count


def _entries(models: Models, kinds: Iterable[RowKind], job: int, now: datetime) -> Iterator[EvidenceEntry]:
    for kind in kinds:
        for row in rows_of(models, kind, [job]):
            yield _taken_over(row_entry(kind, row), now)
            for later in kind.later:
                if getattr(row, later.at, None) is not None:
                    yield _taken_over(later_entry(kind, later.kind, row), now)


def _taken_over(entry: EvidenceEntry, now: datetime) -> EvidenceEntry:
    facts = {**entry.facts, "taken_over_as": entry.kind, "taken_over_at": time_words(now)}
    return EvidenceEntry(TAKEN_OVER, entry.subject, facts, entry.at, entry.by, entry.device, entry.private)


def _write(models: Models, job: int, entries: Sequence[EvidenceEntry]) -> int:
    number = f"J-{job:04d}"
    event, private = models("jobs.EvidenceEvent"), models("jobs.EvidencePrivate")
    events, privates = [], []
    for link in links(job=number, number=0, previous=genesis(number), entries=entries):
        events.append(event(job_id=job, **link.event))
        if link.private is not None:
            privates.append(private(event=events[-1], **link.private))
    event.objects.bulk_create(events, batch_size=500)
    private.objects.bulk_create(privates, batch_size=500)
    return len(events)


def row_said(kind: RowKind, row: Any) -> dict[str, Any]:
    """Return what the log should say of a row by kind of event: that it was added, and each later."""
    told = {kind.event_kind(row): said(kind.facts, row)}
    for later in kind.later:
        if getattr(row, later.at) is not None:
            told[later.kind] = said(later.facts, row)
    return told
