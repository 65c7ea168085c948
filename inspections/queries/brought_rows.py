"""What became of a file's entries, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from inspections.checklists import Checklist, checklist_for, checklist_get
from inspections.models import EntryKind, SiteRecord, TabletEntry
from inspections.queries.late_entries import late_view
from inspections.services.bring_in import THERE_ALREADY, BroughtEntry, BroughtIn
from jobs.errors import JobsError
from jobs.models import Job, User

#: Outcome -> its word, and the sign of a status that looks like it.
_WORDS = {
    "accepted": ("Accepted", "closed"),
    "late": ("Kept for the inspector", "ready for sign-off"),
    "refused": ("Refused", "failed"),
    THERE_ALREADY: ("There already", "queued"),
}


@dataclass(frozen=True)
class BroughtRow:
    """One entry of a file as the page shows it."""

    job: Job | None
    what: str
    word: str
    sign: str
    sentence: str


def brought_rows(brought: BroughtIn) -> list[BroughtRow]:
    """Return a file's entries in its order."""
    jobs = {one.job.pk: one.job for one in brought.entries if one.job is not None}
    records = {one.job_id: one for one in SiteRecord.objects.filter(job__in=jobs)}
    checklists = {pk: _checklist(job, records.get(pk)) for pk, job in jobs.items()}
    return [_row(one, brought.person, checklists) for one in brought.entries]


def tally(entries: Iterable[BroughtEntry]) -> str:
    """Return how many entries came to what, such as "3 accepted, 1 refused"."""
    counted = Counter(one.outcome for one in entries)
    told = [f"{counted[outcome]} {word.lower()}" for outcome, (word, _) in _WORDS.items() if counted[outcome]]
    return ", ".join(told)


def _row(one: BroughtEntry, person: User, checklists: dict[int, Checklist | None]) -> BroughtRow:
    word, sign = _WORDS[one.outcome]
    what = _what(one, person, checklists.get(one.job.pk) if one.job else None)
    return BroughtRow(one.job, what, word, sign, one.sentence)


def _what(one: BroughtEntry, person: User, checklist: Checklist | None) -> str:
    kind, *words = (one.told.get(name, "") for name in ("kind", "stage", "item", "text"))
    if kind not in EntryKind.values or not all(isinstance(word, str) for word in words):
        return "Something that is no entry"
    stage, item, text = words
    shown = TabletEntry(
        kind=kind,
        stage=stage,
        item=item,
        raw={"text": text},
        by=person,
        said=one.said,
        verdict=one.verdict,
    )
    return late_view(shown, checklist).words


def _checklist(job: Job, record: SiteRecord | None) -> Checklist | None:
    try:
        if record is not None:
            found = checklist_get(record.checklist, record.checklist_version)
        else:
            found = checklist_for(kind=job.kind, route=job.installation.route)
    except JobsError:
        return None
    return found.in_units(job.installation.site.unit_system)
