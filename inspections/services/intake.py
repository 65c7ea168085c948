"""The counter at which the entries of one batch are taken, one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from inspections.errors import InspectionsError
from inspections.models import Answer, EntryKind, Photo, SiteRecord, TabletEntry
from inspections.queries.crews import works_on
from inspections.services.desk import Desk, desk_open
from inspections.services.entry_kinds import LAYING, PhotoMissingError
from inspections.services.entry_late import TOO_LATE, late_take
from inspections.services.entry_receipts import (
    Delivery,
    Taken,
    entry_check,
    entry_digest,
    receipt_make,
    receipt_result,
)
from inspections.services.records import record_begin
from inspections.services.sent_entries import EntryResult, SentEntry
from jobs.errors import JobsError
from jobs.models import Job, JobStatus

_OVER = frozenset({JobStatus.READY, JobStatus.CLOSED, JobStatus.CANCELLED})


class Intake:
    """What is known before the first entry of a batch is looked at, and what was taken so far."""

    def __init__(self, *, delivery: Delivery, sent: Sequence[SentEntry], record: int | None) -> None:
        self.delivery = delivery
        self.desk: Desk | None = desk_open(record=record, by=delivery.by) if record else None
        self.job: Job = self.desk.job if self.desk else delivery.job
        self.receipts: list[TabletEntry] = []
        entries = [one.entry for one in sent]
        self._known = {one.entry: one for one in TabletEntry.objects.filter(entry__in=entries)}
        #: Numbers of answers that pages sent.
        self._taken = set(Answer.objects.filter(entry__in=entries).values_list("entry", flat=True))
        self._photos = {one.entry: one for one in Photo.objects.filter(entry__in=entries)}
        self._begin_refused: JobsError | None = None

    def take(self, sent: SentEntry) -> EntryResult:
        """Take one entry."""
        try:
            # Before any right to the job: an acknowledgement that got lost is owed to whoever sent it.
            receipt = self._earlier(sent)
            if receipt is None:
                entry_check(sent)
                receipt = receipt_make(delivery=self.delivery, sent=sent, taken=self._taken_as(sent))
                self.receipts.append(receipt)
                self._known[sent.entry] = receipt
        except PhotoMissingError:
            sentence = "The photo itself has not arrived yet."
            return EntryResult(sent.entry, "wants_photo", "wants_photo", sentence)
        except JobsError as error:
            return EntryResult(sent.entry, "refused", error.code, error.sentence)
        return receipt_result(receipt)

    def _earlier(self, sent: SentEntry) -> TabletEntry | None:
        receipt = self._known.get(sent.entry)
        if receipt is None and sent.entry not in self._taken:
            return None
        importing = self.delivery.brought_in_by is not None
        if receipt is None or not (receipt.by_id == self.delivery.by.pk or importing):
            raise InspectionsError(
                "entry_taken", "The number of this entry was used already. Enter it again."
            )
        if receipt.digest != entry_digest(self.job, sent):
            raise InspectionsError(
                "entry_differs",
                "This entry had arrived before with something else in it. To put the new one in its place,"
                " enter it again.",
            )
        return receipt

    def _taken_as(self, sent: SentEntry) -> Taken:
        photo = self._photo(sent)
        try:
            if self.desk is not None:
                return LAYING[sent.kind](self.desk, self.delivery, sent, photo)
            if sent.kind == EntryKind.BEGIN and self.job.status not in _OVER:
                return self._begin()
            raise self._not_begun(sent)
        except JobsError as error:
            if error.code not in TOO_LATE:
                raise
            if sent.kind == EntryKind.PHOTO and photo is None:
                raise PhotoMissingError from error
            return late_take(
                delivery=self.delivery, job=self.job, desk=self.desk, sent=sent, photo=photo, code=error.code
            )

    def _photo(self, sent: SentEntry) -> Photo | None:
        photo = self._photos.get(sent.entry) if sent.kind == EntryKind.PHOTO else None
        if photo is not None and photo.job_id != self.job.pk:
            raise InspectionsError(
                "entry_taken", "The number of this entry was used already. Enter it again."
            )
        if photo is not None and photo.sha256 != sent.sha256:
            raise InspectionsError(
                "entry_differs",
                "Another photo had arrived under the number of this one. Take it again to put it in its"
                " place.",
            )
        return photo

    def _begin(self) -> Taken:
        if self._begin_refused is not None:
            raise self._begin_refused
        try:
            record = record_begin(job=self.job, by=self.delivery.by, now=self.delivery.now)
        except JobsError as error:
            self._begin_refused = error
            raise
        self.desk = desk_open(record=record.pk, by=self.delivery.by)
        self.job = self.desk.job
        return Taken()

    def _not_begun(self, sent: SentEntry) -> InspectionsError:
        number, status = self.job.number, self.job.get_status_display().lower()
        inspecting = sent.kind in {EntryKind.DEFECT, EntryKind.SIGN_OFF} and self.delivery.by.may_sign_off
        if not (inspecting or self._crew):
            return InspectionsError("not_your_job", f"{number} is not a job of your crew.")
        if self.job.status in _OVER:
            return InspectionsError("job_not_on_site", f"{number} is {status}.")
        return InspectionsError(
            "not_begun",
            f"The site work of {number} has not begun: the job is {status}. Begin it, then send this.",
        )

    @cached_property
    def _crew(self) -> bool:
        return works_on(self.delivery.by, self.job)


def intake_open(*, delivery: Delivery, sent: Sequence[SentEntry]) -> Intake:
    """Lock a job's record, or the job while it has none, and read what the batch needs.

    The same batch sent twice at once queues up here, so that the second sees what the first has kept.
    """
    records = SiteRecord.objects.filter(job=delivery.job)
    record = records.select_for_update().values_list("pk", flat=True).first()
    if record is None:
        fresh = Job.objects.select_for_update().get(pk=delivery.job.pk)
        delivery = replace(delivery, job=fresh)
        record = records.values_list("pk", flat=True).first()
    return Intake(delivery=delivery, sent=sent, record=record)
