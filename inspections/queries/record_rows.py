"""The rows of one record, read in one go and sorted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from calcs.checks import Limit
from inspections.checklists import Checklist, checklist_get
from inspections.models import (
    Answer,
    Defect,
    EntryKind,
    EntryOutcome,
    Photo,
    SignOff,
    SiteRecord,
    StageRecord,
    StageReturn,
    TabletEntry,
)
from inspections.queries.applicable import items_applicable
from inspections.queries.corrections import correction_items, found_item, waiver_of
from inspections.queries.found_photos import photos_before
from jobs.models import JobKind

__all__ = ["RecordRows", "correction_items", "found_item", "limits_of", "rows_read", "waiver_of"]


@dataclass
class RecordRows:
    """What was read from the database, sorted."""

    record: SiteRecord
    #: With the figures of the site's units in its words.
    checklist: Checklist
    system: str
    #: Code of the rule book the record is held to.
    rule_book: str
    stages: list[StageRecord]
    limits: dict[str, Limit]
    #: By item, newest first. Keys of items are unique in a checklist.
    answers: dict[str, list[Answer]]
    #: By item, oldest first, in the order in which the items got their first one.
    defects: dict[str, list[Defect]]
    returns: dict[int, list[StageReturn]]
    #: What came too late, oldest first.
    late: list[TabletEntry]
    #: Signatures a tablet sent in time, by stage and when they arrived; "" is a sign-off's stage.
    signed_on_tablet: dict[tuple[str, datetime], TabletEntry]
    #: Every sign-off the record ever had, oldest first, with what reopened it.
    sign_offs: list[SignOff]
    applicable: frozenset[str]
    #: How what was carried here had looked where it was found, by the defect it was carried from.
    photos_before: dict[int, list[Photo]]

    @property
    def sign_off(self) -> SignOff | None:
        """The sign-off in force; None before the first one, and while the job is reopened."""
        return self.sign_offs[-1] if self.sign_offs and self.sign_offs[-1].is_in_force else None

    @property
    def latest(self) -> dict[str, Answer]:
        """The answer that counts of each item."""
        return {key: rows[0] for key, rows in self.answers.items() if rows}

    def asked(self, latest: Mapping[str, Answer]) -> frozenset[str]:
        """Return the keys of the items that apply under these answers."""
        return items_applicable(self.checklist, self.record.facts, latest)

    def signing_of(self, stage: str, at: datetime | None) -> TabletEntry | None:
        """Return the entry by which a stage, or with no stage the record, was signed on a tablet."""
        return self.signed_on_tablet.get((stage, at)) if at is not None else None

    @property
    def may_carry(self) -> bool:
        """Whether a defect found on this job may stay open and be carried into a further one."""
        return self.record.job.kind != JobKind.NEW_INSTALLATION

    def all_defects(self) -> list[Defect]:
        """Return every defect the record ever had."""
        return [defect for found in self.defects.values() for defect in found]

    def photos(self) -> tuple[Photo, ...]:
        """Photos of the answers that count, in the order of the checklist, corrections after it."""
        keys = [item.key for _, item in self.checklist.items()]
        for one in self.all_defects():
            keys += [item.key for item in correction_items(one)]
        latest = [self.answers[key][0] for key in dict.fromkeys(keys) if self.answers.get(key)]
        counted = [answer.photo for answer in latest if answer.photo is not None]
        as_found = [photo for key in dict.fromkeys(self.defects) for photo in self.as_found(key)]
        return tuple({photo.pk: photo for photo in (*counted, *as_found)}.values())

    def as_found(self, item: str) -> list[Photo]:
        """Return every photo that was taken of the defects on an item as found, oldest first."""
        answers = self.answers.get(found_item(item).key, ())
        return [one.photo for one in reversed(answers) if one.photo is not None]


def limits_of(record: SiteRecord) -> dict[str, Limit]:
    """Return the limits pinned when the work began."""
    return {name: Limit.from_dict(data) for name, data in record.limits.items()}


def rows_read(record: SiteRecord) -> RecordRows:
    """Read a record's rows; as many queries for a long one as for a short one."""
    system = record.job.installation.site.unit_system
    answers: dict[str, list[Answer]] = defaultdict(list)
    for answer in (
        Answer.objects.filter(stage__record=record)
        .select_related("by", "photo", "tablet_entry__brought_in_by")
        .defer("tablet_entry__raw")
        .order_by("-pk")
    ):
        answers[answer.item].append(answer)
    defects: dict[str, list[Defect]] = defaultdict(list)
    for defect in (
        Defect.objects.filter(stage__record=record)
        .select_related("stage", "waiver__by", "opened_by", "opened_by_answer__by", "closed_by_answer__by")
        .select_related("carried_from")
        .prefetch_related("gradings__by")
        .order_by("pk")
    ):
        defects[defect.item].append(defect)
    returns: dict[int, list[StageReturn]] = defaultdict(list)
    for one in StageReturn.objects.filter(stage__record=record).select_related(
        "by", "signed_by", "signature"
    ):
        returns[one.stage_id].append(one)
    receipts = list(
        TabletEntry.objects.filter(job=record.job_id)
        .filter(Q(outcome=EntryOutcome.LATE) | Q(kind__in=[EntryKind.SIGNATURE, EntryKind.SIGN_OFF]))
        .select_related("by", "photo", "brought_in_by", "look__by")
        .order_by("pk")
    )
    rows = RecordRows(
        record=record,
        checklist=checklist_get(record.checklist, record.checklist_version).in_units(system),
        system=system,
        rule_book=record.facts.get("rule_book", ""),
        stages=list(record.stages.select_related("signature", "signed_by").order_by("position")),
        limits=limits_of(record),
        answers=answers,
        defects=defects,
        returns=returns,
        late=[one for one in receipts if one.is_late],
        signed_on_tablet={(one.stage, one.received_at): one for one in receipts if not one.is_late},
        sign_offs=list(record.sign_offs.select_related("by", "signature", "reopening__by")),
        applicable=frozenset(),
        photos_before=photos_before([one for found in defects.values() for one in found]),
    )
    rows.applicable = rows.asked(rows.latest)
    return rows
