"""Which rows the evidence log speaks of, what it says of each, and which columns never change.

One table does three things: services log by it, the database's triggers are made from it, and checks compare
rows with the log by it. A column that is not named as changing never changes, so that a new one is kept too.
Nothing here asks for more than attributes of a row: a migration hands in rows of an older shape.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from jobs.evidence_chain import canonical, digest, time_words

#: What stands in a text column after its customer was forgotten, where it may not be empty.
ERASED = "(erased)"
#: What the worker writes on the rows it works off.
WORK = frozenset({"due_at", "claimed_at", "attempts", "gave_up_at", "last_error"})


@dataclass(frozen=True)
class Fact:
    """One thing said of a row: a column of that name, or what a function makes of the row."""

    name: str
    of: Callable[[Any], Any] | None = None
    #: Said only of rows where it holds.
    when: Callable[[Any], bool] | None = None

    def value(self, row: Any) -> Any:
        """Return it as it stands in the log."""
        return _plain(self.of(row) if self.of else getattr(row, self.name))

    def is_said(self, row: Any) -> bool:
        """Whether it is said of this row; a row of a shape without the column has nothing to say."""
        if self.when is not None and not self.when(row):
            return False
        return self.of is not None or hasattr(row, self.name)


@dataclass(frozen=True)
class Later:
    """Something that is added to a row once, when a column gets its time."""

    kind: str
    at: str
    facts: tuple[Fact, ...] = ()
    #: What may have to be forgotten.
    private: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class RowKind:
    """A kind of row. With an empty `kind` its columns are kept, but it has no event of its own."""

    #: Such as "jobs.Document".
    model: str
    #: Subject of its events, with the key behind a colon.
    noun: str = ""
    #: Kind of the event that adds it.
    kind: str = ""
    key: str = "pk"
    #: Ways to the job, as queries write them; of more than one, a row has just one.
    ways: tuple[str, ...] = ("job",)
    at: str = "at"
    by: str = ""
    device: str = ""
    facts: tuple[Fact, ...] = ()
    #: What may have to be forgotten.
    private: tuple[Fact, ...] = ()
    later: tuple[Later, ...] = ()
    #: Another kind of event for some of the rows.
    kind_of: Callable[[Any], str] | None = None
    #: What checks read along, so that many rows take few queries.
    related: tuple[str, ...] = ()
    #: Columns that change.
    changes: frozenset[str] = frozenset()
    #: Columns that are empty at first and, once written, stay.
    once: frozenset[str] = frozenset()
    #: Columns that may be blanked when the customer is forgotten; with a column and its value that must hold.
    forget: Mapping[str, tuple[str, str] | None] | None = None
    #: Not even writing the same again is taken.
    sealed: bool = False
    #: Whether rows go when the customer is forgotten.
    goes: bool = False
    #: Whether rows go when they are old.
    ages: bool = False
    #: Whether it hangs on a job at all.
    of_job: bool = True

    def subject(self, row: Any) -> str:
        """Return the row's name in the log."""
        return f"{self.noun}:{getattr(row, self.key)}"

    def event_kind(self, row: Any) -> str:
        """Return the kind of the event that adds a row."""
        return self.kind_of(row) if self.kind_of else self.kind


def said(facts: tuple[Fact, ...], row: Any) -> dict[str, Any]:
    """Return what is said of a row, by name."""
    return {fact.name: fact.value(row) for fact in facts if fact.is_said(row)}


def hash_of(value: Any) -> str:
    """Return the SHA-256 of what is too large for an event: the canonical form of any JSON [hex]."""
    return digest(canonical(_safe(value)))


def row_name(noun: str, key: str) -> Callable[[Any], str | None]:
    """Return what names the row that a foreign key points to, without fetching it."""

    def name(row: Any) -> str | None:
        pk = getattr(row, f"{key}_id")
        return None if pk is None else f"{noun}:{pk}"

    return name


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return time_words(value)
    if isinstance(value, UUID):
        return str(value)
    return value


def _safe(value: Any) -> Any:
    """Whole numbers beyond what JSON's numbers carry come from anywhere; a database may hand them back so."""
    if isinstance(value, dict):
        return {str(name): _safe(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_safe(one) for one in value]
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 2**53:
        try:
            return float(value)
        except OverflowError:
            return str(value)
    return value


def _fingerprint(document: Any) -> str | None:
    sealed_with = document.sealed_with
    return sealed_with.fingerprint if sealed_with else None


STATUS_CHANGE = RowKind(
    model="jobs.JobStatusChange",
    noun="status",
    kind="status changed",
    by="by",
    facts=(Fact("old"), Fact("new")),
    private=(Fact("reason"),),
    forget={"reason": None},
)
DOCUMENT = RowKind(
    model="jobs.Document",
    noun="document",
    kind="document asked for",
    at="requested_at",
    facts=(Fact("document", lambda row: row.kind), Fact("title"), Fact("for_customer")),
    private=(Fact("context_sha256", lambda row: hash_of(row.context)),),
    later=(
        Later(
            kind="document made",
            at="done_at",
            facts=(Fact("sha256"), Fact("sealed_with", _fingerprint), Fact("stamped_at"), Fact("seal_note")),
        ),
        Later(kind="document withdrawn", at="withdrawn_at"),
    ),
    related=("sealed_with",),
    changes=WORK,
    once=frozenset({"done_at", "file", "sha256", "sealed_with", "stamped_at", "seal_note", "withdrawn_at"}),
    forget={"context": None, "file": None},
)
JOBS_ROWS: tuple[RowKind, ...] = (
    RowKind(model="jobs.EvidenceEvent", sealed=True),
    RowKind(model="jobs.EvidencePrivate", ways=("event__job",), sealed=True, goes=True),
    RowKind(model="jobs.Erasure", of_job=False, sealed=True),
    RowKind(model="jobs.DocumentAccess", of_job=False, sealed=True, ages=True),
    STATUS_CHANGE,
    DOCUMENT,
)
