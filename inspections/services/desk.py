"""One record on the desk: read once under its lock, worked on in memory, written back together.

The rules of answers, defects and signatures look at what lies on the desk. So one answer from a page and
fifty entries of a tablet go by the same rules, and cost the same number of queries.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterable
from datetime import datetime
from functools import cached_property, partial

from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.evidence_rows import ANSWER, DEFECT, SIGNATURE
from inspections.models import Answer, AnswerOutcome, Defect, Signature, SiteRecord, StageRecord
from inspections.models.defect import FOUND, base_key
from inspections.queries.crews import works_on
from inspections.queries.evidence import RecordView
from inspections.queries.permits import permits_failed
from inspections.queries.record_rows import RecordRows, correction_items, found_item, rows_read
from inspections.queries.records import record_view_of
from inspections.services.carrying import carried_close
from inspections.services.notices import notices_settle
from jobs.evidence_chain import EvidenceEntry
from jobs.models import Job, Permit, Shop, User
from jobs.services.evidence import evidence_append_all, later_entry, row_entry

#: Outcomes that put a defect right.
SETTLING = frozenset({AnswerOutcome.PASS, AnswerOutcome.RECORDED})


class Desk:
    """A record as it stands with everything laid on it so far, before one person."""

    def __init__(self, rows: RecordRows, by: User) -> None:
        self.rows = rows
        self.by = by
        self.record: SiteRecord = rows.record
        self.job: Job = rows.record.job
        self._answers: list[Answer] = []
        self._closed: list[Defect] = []
        self._raised: list[Defect] = []
        self._signed: list[StageRecord] = []
        #: What is logged, in the order in which it was laid; a row gets its key when it is written.
        self._log: list[Callable[[], EvidenceEntry]] = []

    @cached_property
    def crew(self) -> bool:
        """Whether this person works the job's stages."""
        return works_on(self.by, self.job)

    @cached_property
    def one_person(self) -> bool:
        """Whether the shop is one person."""
        return Shop.current().one_person

    @cached_property
    def permits_failed(self) -> list[Permit]:
        """The job's permits whose final inspection failed."""
        return permits_failed(self.job)

    @property
    def own_work(self) -> bool:
        """Whether this person entered or signed anything of the record; to photograph a defect is no work."""
        pk = self.by.pk
        return (
            any(
                one.by_id == pk
                for item, found in self.rows.answers.items()
                for one in found
                if not item.endswith(FOUND)
            )
            or any(stage.signed_by_id == pk for stage in self.rows.stages)
            or any(one.signed_by_id == pk for found in self.rows.returns.values() for one in found)
        )

    def view(self) -> RecordView:
        """Return the record as it would stand."""
        return record_view_of(self.rows)

    def stage(self, key: str) -> StageRecord:
        """Return a stage."""
        for stage in self.rows.stages:
            if stage.key == key:
                return stage
        raise InspectionsError("no_such_stage", "This job has no such stage. Load the page again.")

    def title(self, stage: StageRecord) -> str:
        """Return what a stage is called."""
        told = self.rows.checklist.stage(stage.key)
        return told.title if told else stage.key

    def latest(self, item: str) -> Answer | None:
        """Return the answer of an item that counts."""
        found = self.rows.answers.get(item)
        return found[0] if found else None

    def answers_after(self, saw: uuid.UUID | None) -> list[Answer]:
        """Return the answers that came after the one somebody saw last; all of them after none."""
        kept = (one for found in self.rows.answers.values() for one in found if one.pk is not None)
        order = [*sorted(kept, key=lambda one: one.pk), *self._answers]
        at = next((place for place, one in enumerate(order, start=1) if one.entry == saw), 0)
        return order[at:]

    def open_defect(self, stage: StageRecord, item: str) -> Defect | None:
        """Return the defect that stands open on an item."""
        found = self.rows.defects.get(item, ())
        return next((one for one in found if one.is_open and one.stage_id == stage.pk), None)

    def item_known(self, stage: StageRecord, key: str) -> Item | None:
        """Return an item of a stage, asked or not, or one by which a defect is put right."""
        told = self.rows.checklist.stage(stage.key)
        item = told.item(key) if told else None
        if item is not None:
            return item
        here = [one for one in self.rows.defects.get(base_key(key), ()) if one.stage_id == stage.pk]
        corrections = [item for one in here if one.is_raised_alone for item in correction_items(one)]
        if here and told and told.item(base_key(key)):
            corrections.append(found_item(base_key(key)))
        return next((item for item in corrections if item.key == key), None)

    def carried(self, stage: StageRecord, item: str) -> Defect | None:
        """Return the defect a job came for, from an item by which it is put right; the last one of it."""
        found = [one for one in self.rows.defects.get(base_key(item), ()) if one.stage_id == stage.pk]
        return found[-1] if found and found[-1].carried_from_id is not None else None

    def is_put_right(self, defect: Defect) -> bool:
        """Whether all that is asked to close one a job came for is there, and none of it fails."""
        asked = [item for item in correction_items(defect) if item.required]
        answers = [self.latest(item.key) for item in asked]
        return all(one is not None and one.outcome in SETTLING for one in answers)

    def item_asked(self, stage: StageRecord, key: str) -> Item:
        """Return an item that is asked on this job as it stands."""
        item = self.item_known(stage, key)
        if item is None:
            raise InspectionsError("no_such_item", "This stage has no such item. Load the page again.")
        told = self.rows.checklist.stage(stage.key)
        if told and told.item(key) and key not in self.rows.applicable:
            raise InspectionsError(
                "item_not_asked", f"“{item.ask}” is not asked on this job as it stands. Load the page again."
            )
        return item

    def lay_answer(self, answer: Answer) -> frozenset[str]:
        """Put an answer on top of its item's; return the items that are no longer asked because of it."""
        self._answers.append(answer)
        self._log.append(partial(row_entry, ANSWER, answer))
        self.rows.answers.setdefault(answer.item, []).insert(0, answer)
        before = self.rows.applicable
        self.rows.applicable = self.rows.asked(self.rows.latest)
        return before - self.rows.applicable

    def lay_defect(self, defect: Defect) -> None:
        """Add a defect."""
        self._raised.append(defect)
        self._log.append(partial(row_entry, DEFECT, defect))
        self.rows.defects.setdefault(defect.item, []).append(defect)

    def close_defects(self, item: str, answer: Answer) -> None:
        """Close what stands open on an item."""
        for defect in self.rows.defects.get(item, ()):
            if defect.is_open:
                defect.closed_by_answer, defect.closed_at = answer, answer.received_at
                self._log.append(partial(later_entry, DEFECT, "defect closed", defect, answer.by))
                if defect.pk is not None:
                    self._closed.append(defect)

    def lay_signature(self, stage: StageRecord, signature: Signature, now: datetime) -> None:
        """Freeze a stage."""
        stage.signed_at, stage.signed_by, stage.signature = now, self.by, signature
        self._signed.append(stage)
        self._log.append(partial(row_entry, SIGNATURE, signature))

    def lay_entries(self, entries: Iterable[EvidenceEntry]) -> None:
        """Log what was done elsewhere after what was laid here before it."""
        self._log += [partial(_same, entry) for entry in entries]

    def put_away(self) -> None:
        """Write what was laid here, log it, and do what follows from it."""
        evidence_append_all(job=self.job, entries=self.rows_write())
        self.defects_settle()

    def rows_write(self) -> list[EvidenceEntry]:
        """Write what was laid here and return what is to be logged of it.

        One statement for each kind of row, whatever their number.
        """
        # An answer follows an earlier one by its key: two of one item are written one after the other.
        waiting = self._answers
        while waiting:
            ripe = [one for one in waiting if one.supersedes is None or one.supersedes.pk is not None]
            Answer.objects.bulk_create(ripe)
            waiting = [one for one in waiting if one.pk is None]
        if self._closed:
            # Before new ones are written: an item has one open defect at a time.
            Defect.objects.bulk_update(self._closed, ["closed_by_answer", "closed_at"])
        if self._raised:
            Defect.objects.bulk_create(self._raised)
        if self._signed:
            Signature.objects.bulk_create([stage.signature for stage in self._signed if stage.signature])
            StageRecord.objects.bulk_update(self._signed, ["signed_at", "signed_by", "signature"])
        log = [entry() for entry in self._log]
        self._answers, self._signed, self._log = [], [], []
        return log

    def defects_settle(self) -> None:
        """Do what follows from what was raised and closed, once it is logged: notices, other jobs' copies."""
        if self._closed or self._raised:
            notices_settle(raised=self._raised, closed=carried_close(self._closed, by=self.by), by=self.by)
        self._closed, self._raised = [], []


def _same(entry: EvidenceEntry) -> EvidenceEntry:
    return entry


def desk_open(*, record: int, by: User) -> Desk:
    """Lock a record and read it. Whoever else works on it waits until this transaction is over."""
    # Locked alone and read after it, so that what another one has just written is seen.
    SiteRecord.objects.select_for_update().only("pk").get(pk=record)
    whole = SiteRecord.objects.select_related("job__installation__site__customer")
    return Desk(rows_read(whole.get(pk=record)), by)
