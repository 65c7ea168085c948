"""Work that a tablet could not send, brought in from a file at the desk."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.core.files.base import ContentFile

from inspections.errors import InspectionsError
from inspections.models import EntryKind, TabletEntry
from inspections.queries.crews import works_on
from inspections.services.entries import entries_take
from inspections.services.entry_reading import entry_named, entry_read
from inspections.services.photos import photo_store
from inspections.services.sent_entries import EntryResult, Sender, SentEntry
from inspections.services.unsent_work import UnsentFile, photo_bytes, unsent_read
from jobs.errors import JobsError
from jobs.models import Job, User

#: Entries taken in one transaction.
AT_ONCE = 50
THERE_ALREADY = "there already"
_LARGEST_KEY = 10**18


@dataclass(frozen=True)
class BroughtEntry:
    """What became of one entry of a file."""

    #: The entry as it stands in the file; empty for what is none.
    told: dict[str, Any]
    job: Job | None
    #: accepted | late | refused | there already
    outcome: str
    sentence: str = ""
    #: What it was read as, and the verdict here.
    said: str = ""
    verdict: str = ""


@dataclass(frozen=True)
class BroughtIn:
    """What became of a file."""

    file: UnsentFile
    person: User
    entries: tuple[BroughtEntry, ...]


def unsent_bring_in(*, content: bytes, by: User, now: datetime) -> BroughtIn:
    """Take a file's entries as the work of the person who made them; brought in twice they are kept once.

    A file that is none, damaged or of another shop is refused as a whole before anything is kept. Each batch
    is kept or not by itself, so that a file half brought in is simply brought in again.
    """
    file = unsent_read(content)
    bringing = _Bringing(file, _person(file), by, now)
    for at, raw in enumerate(file.entries):
        bringing.read(at, raw)
    for job in bringing.jobs.values():
        bringing.take(job)
    return BroughtIn(file, bringing.person, tuple(bringing.became[at] for at in sorted(bringing.became)))


@dataclass
class _Bringing:
    """A file on its way in."""

    file: UnsentFile
    person: User
    by: User
    now: datetime
    #: By the entry's place in the file.
    became: dict[int, BroughtEntry] = field(default_factory=dict)
    #: By job, in the order of the file.
    waiting: dict[int, list[tuple[int, SentEntry]]] = field(default_factory=lambda: defaultdict(list))

    def __post_init__(self) -> None:
        jobs = {key for raw in self.file.entries if (key := _job_key(raw))}
        self.jobs = Job.objects.select_related("installation__site").in_bulk(jobs)
        named = filter(None, map(entry_named, self.file.entries))
        self.known = set(TabletEntry.objects.filter(entry__in=list(named)).values_list("entry", flat=True))
        self.working = {
            job.pk: self.person.may_sign_off or works_on(self.person, job) for job in self.jobs.values()
        }

    def read(self, at: int, raw: Any) -> None:
        """Read an entry and keep its photo; what is refused here goes no further."""
        job = self.jobs.get(_job_key(raw))
        try:
            if job is None:
                raise InspectionsError("no_such_job", "The job this belongs to is not in this shop.")
            sent = entry_read(raw)
            _refuse_sign_off(sent)
            self._keep_photo(job, sent, raw)
        except JobsError as error:
            self._tell(at, "refused", error.sentence)
            return
        self.waiting[job.pk].append((at, sent))

    def take(self, job: Job) -> None:
        """Take what waits for a job."""
        waiting = self.waiting[job.pk]
        sender = Sender(device=self.file.device)
        for start in range(0, len(waiting), AT_ONCE):
            batch = waiting[start : start + AT_ONCE]
            results = entries_take(
                job=job,
                by=self.person,
                sent=[sent for _, sent in batch],
                sender=sender,
                now=self.now,
                brought_in_by=self.by,
            )
            for (at, _), result in zip(batch, results, strict=True):
                self._tell(at, self._outcome(result), result.sentence, result.said, result.verdict)

    def _keep_photo(self, job: Job, sent: SentEntry, raw: Any) -> None:
        if sent.kind != "photo" or sent.entry in self.known or not self.working[job.pk]:
            return
        content = photo_bytes(raw)
        photo_store(job=job, upload=ContentFile(content), by=self.person, now=self.now, entry=sent.entry)

    def _outcome(self, result: EntryResult) -> str:
        if result.outcome in {"accepted", "late"}:
            return THERE_ALREADY if result.entry in self.known else result.outcome
        return "refused"

    def _tell(self, at: int, outcome: str, *words: str) -> None:
        raw = self.file.entries[at]
        told = raw if isinstance(raw, dict) else {}
        self.became[at] = BroughtEntry(told, self.jobs.get(_job_key(raw)), outcome, *words)


def _person(file: UnsentFile) -> User:
    person = User.objects.filter(pk=file.person.id).first()
    if person is None or person.name != file.person.name:
        raise InspectionsError(
            "another_shop",
            f"This is the work of {file.person.name}, number {file.person.id}, and nobody here has that name"
            " and number. The file comes from another shop, or the name was changed since: change it back on"
            " the staff page and bring the file in again.",
        )
    return person


def _refuse_sign_off(sent: SentEntry) -> None:
    """A file may be written by anybody; who answers for a whole job signs in to do it."""
    if sent.kind == EntryKind.SIGN_OFF:
        raise InspectionsError(
            "sign_off_in_file",
            "A sign-off is not taken from a file. Its inspector signs in and signs the job off on its record"
            " page.",
        )


def _job_key(raw: Any) -> int:
    key = raw.get("job") if isinstance(raw, dict) else None
    return key if isinstance(key, int) and not isinstance(key, bool) and 0 < key < _LARGEST_KEY else 0
