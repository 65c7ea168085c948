"""Whether a job's evidence holds: every link of its chain, the rows it speaks of, and their files.

A job's rows and files are compared with what was logged. Somebody who changed both and reckoned every hash
anew is found by the heads that stand on sealed certificates and in customers' hands.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from django.apps import apps
from django.db.models import QuerySet

from jobs.evidence_chain import canonical, commitment, digest, genesis
from jobs.evidence_rows import RowKind, said
from jobs.models import Erasure, EvidenceEvent, EvidencePrivate, Job
from jobs.services.evidence_files import FileCheck
from jobs.services.logged_rows import TAKEN_OVER, row_said, rows_of

#: Jobs whose rows are held at once.
AT_ONCE = 10


@dataclass(frozen=True)
class Break:
    """One place where the evidence does not hold."""

    job: str
    #: Of the event; None for a row that no event speaks of.
    number: int | None
    kind: str
    subject: str
    #: What differs.
    words: str

    def __str__(self) -> str:
        place = f"event {self.number} ({self.kind}, {self.subject})" if self.number else self.subject
        return f"{self.job}, {place}: {self.words}"


@dataclass
class Figures:
    """How much was looked at."""

    jobs: int = 0
    events: int = 0
    rows: int = 0
    files: int = 0
    bytes: int = 0


@dataclass
class _Found:
    """What is known of one job while its chain is read."""

    job: Job
    erased: bool
    #: By subject.
    rows: dict[str, tuple[RowKind, Any]]
    number: int = 0
    previous: str = ""
    #: Hashes by number of their event.
    hashes: dict[str, int] = field(default_factory=dict)
    #: Subject and kind of event.
    seen: set[tuple[str, str]] = field(default_factory=set)
    breaks: list[Break] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.previous = genesis(self.job.number)

    def broken(self, event: EvidenceEvent, words: str) -> None:
        """Keep that an event does not hold."""
        self.breaks.append(Break(self.job.number, event.number, event.kind, event.subject, words))

    def row_broken(self, subject: str, words: str) -> None:
        """Keep that a row does not hold."""
        self.breaks.append(Break(self.job.number, None, "", subject, words))


class EvidenceCheck:
    """One run over the chains of some jobs; `figures` tells how much was seen so far."""

    def __init__(self, kinds: Iterable[RowKind], *, files: bool = True) -> None:
        self.kinds = [kind for kind in kinds if kind.kind]
        self.nouns = {kind.noun: kind for kind in self.kinds}
        self.figures = Figures()
        self._files = FileCheck(self.figures) if files else None

    def breaks(self, jobs: QuerySet[Job]) -> Iterator[Break]:
        """Return every place that does not hold, job after job, within a job in the order of its chain."""
        ordered = jobs.order_by("pk").iterator(chunk_size=500)
        while batch := list(islice(ordered, AT_ONCE)):
            for found in self._read(batch):
                self.figures.jobs += 1
                yield from sorted(found.breaks, key=lambda one: one.number or 10**9)

    def _read(self, batch: Sequence[Job]) -> Iterator[_Found]:
        keys = [job.pk for job in batch]
        rows = self._rows(keys)
        erased = set(
            Erasure.objects.filter(customer__sites__installations__jobs__in=keys).values_list(
                "customer__sites__installations__jobs", flat=True
            )
        )
        by_job = {job.pk: _Found(job, job.pk in erased, rows.pop(job.pk, {})) for job in batch}
        events = EvidenceEvent.objects.filter(job__in=keys).order_by("job", "number")
        for event in events.select_related("private").iterator(chunk_size=500):
            self._event(by_job[event.job_id], event)
        for found in by_job.values():
            self._rows_logged(found)
            _status(found)
            if self._files:
                self._files.look(found.rows, found.hashes, found.row_broken, erased=found.erased)
            yield found

    def _rows(self, jobs: Sequence[int]) -> dict[int, dict[str, tuple[RowKind, Any]]]:
        rows: dict[int, dict[str, tuple[RowKind, Any]]] = defaultdict(dict)
        for kind in self.kinds:
            for row in rows_of(apps.get_model, kind, jobs):
                self.figures.rows += 1
                rows[row.log_job][kind.subject(row)] = (kind, row)
        return rows

    def _event(self, found: _Found, event: EvidenceEvent) -> None:
        self.figures.events += 1
        _link(found, event)
        private = getattr(event, "private", None)
        facts = _facts(found, event)
        content = _private(found, event, private)
        kind = str(facts.pop("taken_over_as", "")) if event.kind == TAKEN_OVER else event.kind
        self._agrees(found, event, kind, facts, content)
        found.seen.add((event.subject, kind))

    def _agrees(
        self, found: _Found, event: EvidenceEvent, kind: str, facts: dict[str, Any], content: Any
    ) -> None:
        """Compare an event with the row it names; events that name no kind of row stand for themselves."""
        if event.subject.partition(":")[0] not in self.nouns:
            return
        if event.subject not in found.rows:
            found.broken(event, "the row it speaks of is not there")
            return
        row_kind, row = found.rows[event.subject]
        expected = row_said(row_kind, row)
        if kind not in expected:
            found.broken(event, "the row does not bear out what happened")
            return
        _compare(found, event, facts, expected[kind])
        later = next((one for one in row_kind.later if one.kind == kind), None)
        _compare_columns(found, event, row_kind, row, later.at if later else row_kind.at)
        private = later.private if later else row_kind.private
        if content is not None:
            _compare(found, event, content, said(private, row), erased=found.erased)

    def _rows_logged(self, found: _Found) -> None:
        for subject, (kind, row) in found.rows.items():
            for event_kind in row_said(kind, row):
                if (subject, event_kind) not in found.seen:
                    found.row_broken(subject, f"no event of the log says “{event_kind}”")
            for later in kind.later:
                told = (*said(later.facts, row).values(), *said(later.private, row).values())
                if getattr(row, later.at) is None and any(one not in (None, "") for one in told):
                    found.row_broken(subject, f"it holds part of “{later.kind}” and not its time")


def _link(found: _Found, event: EvidenceEvent) -> None:
    if event.number != found.number + 1:
        found.broken(event, f"it follows number {found.number}: what was between them is missing")
    elif event.previous != found.previous:
        found.broken(event, "it does not hold the hash of the event before it")
    if digest(event.hashed_text) != event.hash:
        found.broken(event, "its hash is not that of what stands in it")
    found.number, found.previous = event.number, event.hash
    found.hashes[event.hash] = event.number


def _facts(found: _Found, event: EvidenceEvent) -> dict[str, Any]:
    try:
        facts = json.loads(event.facts)
        if isinstance(facts, dict) and canonical(facts) == event.facts:
            return facts
    except ValueError:
        pass
    found.broken(event, "its facts are not canonical JSON")
    return {}


def _private(found: _Found, event: EvidenceEvent, private: EvidencePrivate | None) -> Any:
    """Return the private content where it is there and holds."""
    if private is None:
        if event.private_commitment and not found.erased:
            found.broken(event, "its private part is missing, and no erasure is on record")
        return None
    if commitment(private.salt, private.content) != event.private_commitment:
        found.broken(event, "its private part is not the one the chain is bound to")
        return None
    return json.loads(private.content)


def _compare(
    found: _Found,
    event: EvidenceEvent,
    logged: dict[str, Any],
    stands: dict[str, Any],
    *,
    erased: bool = False,
) -> None:
    # What the log never spoke of, such as a column that came later, it does not prove either way.
    for name in sorted(logged.keys() & stands.keys()):
        if canonical(logged[name]) != canonical(stands[name]) and not erased:
            found.broken(event, f"{name} was logged as {_words(logged[name])} and is {_words(stands[name])}")


def _compare_columns(found: _Found, event: EvidenceEvent, kind: RowKind, row: Any, at: str) -> None:
    pairs: list[tuple[str, Any, Any]] = [("time", event.at, getattr(row, at))]
    adds = at == kind.at
    if kind.by and adds:
        pairs.append(("person", event.by_id, getattr(row, f"{kind.by}_id")))
    if kind.device and adds:
        pairs.append(("device", event.device, getattr(row, kind.device)))
    for name, logged, stands in pairs:
        if logged != stands:
            found.broken(event, f"its {name} was logged as {logged} and is {stands}")


def _status(found: _Found) -> None:
    """Where a job stands is where its last change of status put it."""
    changes = [row for kind, row in found.rows.values() if kind.noun == "status"]
    if changes and changes[-1].new != found.job.status:
        found.row_broken(
            found.job.number, f"it stands as “{found.job.status}”; its last change was to “{changes[-1].new}”"
        )


def _words(value: Any) -> str:
    text = canonical(value)
    return text if len(text) <= 100 else f"{text[:97]}..."
