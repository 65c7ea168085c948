"""What came too late for a record, in words, for whoever has to look at it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from inspections.checklists import Checklist, Item
from inspections.models import Defect, EntryKind, EntryOutcome, Signature, TabletEntry
from inspections.models.defect import FOUND, base_key
from inspections.queries.record_rows import RecordRows, correction_items
from inspections.queries.tablet_words import entry_notes
from jobs.models import User
from jobs.queries.jobs import in_visible_jobs

#: What ends the sentence a tablet gets for a late entry.
KEPT = " It is kept for the inspector."


@dataclass(frozen=True)
class LateView:
    """One late entry in words."""

    entry: TabletEntry
    #: Empty where it belongs to no stage.
    stage_title: str
    #: Such as "Clearance at the ceiling: 1 in, fail".
    words: str
    #: Such as "“Ceiling support” had been signed meanwhile."
    why: str
    #: What is to be known of how it came: a wrong clock, a file.
    notes: tuple[str, ...]
    #: What was drawn or typed to sign, if it is a signature.
    signature: Signature | None


def late_entries_visible_to(user: User) -> QuerySet[TabletEntry]:
    """Return the late entries of the jobs a user may see, oldest first."""
    late = TabletEntry.objects.filter(in_visible_jobs(user, "job"), outcome=EntryOutcome.LATE)
    return late.select_related("by", "photo", "brought_in_by", "look__by").order_by("pk")


def late_entries_to_look_at(user: User) -> QuerySet[TabletEntry]:
    """Return those nobody answerable has looked at yet."""
    return late_entries_visible_to(user).filter(look=None)


def late_views(rows: RecordRows) -> tuple[LateView, ...]:
    """Return what came too late for a record, oldest first."""
    defects = rows.all_defects()
    return tuple(late_view(one, rows.checklist, defects) for one in rows.late)


def late_view(entry: TabletEntry, checklist: Checklist | None, defects: Sequence[Defect] = ()) -> LateView:
    """Return one late entry in words; without a checklist where the job's work never began."""
    stage = checklist.stage(entry.stage) if checklist else None
    return LateView(
        entry=entry,
        stage_title=stage.title if stage else "",
        words=_words(entry, stage.title if stage else entry.stage, _item(entry, checklist, defects)),
        why=entry.sentence.removesuffix(KEPT),
        notes=entry_notes(entry),
        signature=_signature(entry),
    )


def _item(entry: TabletEntry, checklist: Checklist | None, defects: Sequence[Defect]) -> Item | None:
    corrections = (item for one in defects if one.is_raised_alone for item in correction_items(one))
    told = (item for _, item in checklist.items()) if checklist else ()
    return next((item for item in (*told, *corrections) if item.key == entry.item), None)


def _words(entry: TabletEntry, stage: str, item: Item | None) -> str:
    about = item.ask if item else base_key(entry.item).replace("_", " ").capitalize()
    if item is None and entry.item.startswith("defect-"):
        about = "As a defect was found" if entry.item.endswith(FOUND) else "What puts a defect right"
    if entry.kind == EntryKind.BEGIN:
        return "The beginning of the site work"
    if entry.kind == EntryKind.SIGNATURE:
        return f"Signature of “{stage}”"
    if entry.kind == EntryKind.SIGN_OFF:
        return f"Sign-off of the job{f': {entry.text}' if entry.text else ''}"
    if entry.kind == EntryKind.DEFECT:
        return f"Defect{f' on “{about}”' if about else ''}: {entry.text}"
    if entry.kind == EntryKind.PHOTO:
        return f"{about}: photo"
    judged = f", {entry.verdict}" if entry.verdict not in {"", "recorded"} else ""
    return f"{about}: {entry.said or f'“{entry.text}”'}{judged}"


def _signature(entry: TabletEntry) -> Signature | None:
    told = entry.raw.get("signature")
    if not told:
        return None
    return Signature(
        name=told.get("name") or entry.by.name,
        strokes=told["strokes"],
        width=told["width"],
        height=told["height"],
        signed_at=entry.received_at,
    )
