"""What a record holds, as pages and certificates show it: stages, items, verdicts, what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Limit
from inspections.checklists import Checklist, Item
from inspections.models import (
    Answer,
    Defect,
    Photo,
    Signature,
    SignOff,
    SignOffReopening,
    SiteRecord,
    StageRecord,
    StageReturn,
    Waiver,
)
from inspections.models.defect import FOUND, base_key
from inspections.queries.defect_words import rule_words
from inspections.queries.gauge import Gauge
from inspections.queries.late_entries import LateView


@dataclass(frozen=True)
class AnswerView:
    """One answer in words. `typed` is what was entered, `said` what it was read as in the site's units."""

    answer: Answer
    typed: str
    said: str
    #: pass | fail | unknown | recorded
    verdict: str
    #: Such as "1/2 in to spare" or "1/2 in short"; empty where nothing was measured.
    margin: str
    #: What is to be known of how it came here: another verdict on the tablet, a wrong clock, a file.
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class ItemView:
    """One item that applies to this job, with everything that was answered to it."""

    item: Item
    stage: StageRecord
    required: bool
    limit: Limit | None
    #: Such as "at least 2 in"; "no limit is known" where the plan has none; empty for other items.
    limit_text: str
    #: Such as "Listing: Sheet GH-9, 1st edition (read)".
    source_text: str
    #: Address of the rule the limit rests on; empty where it rests on none.
    source_url: str
    #: Latest answer; None while there is none.
    answer: AnswerView | None
    #: Earlier answers, newest first.
    history: tuple[AnswerView, ...]
    #: The defect that stands open on this item.
    defect: Defect | None
    #: The waiver that covers the latest answer.
    waiver: Waiver | None
    gauge: Gauge | None
    #: Whether the open defect may stay as the stage is signed: advice, or carried into a further job.
    may_stay: bool = False
    #: How the open defect had looked on the job it was carried from.
    photos_before: tuple[Photo, ...] = ()

    @property
    def key(self) -> str:
        """Key of the item."""
        return self.item.key

    @property
    def defect_rule(self) -> str:
        """The rule the open defect breaks, in words; a missed limit has said its own."""
        return rule_words(self.defect.rule) if self.defect and self.item.kind != "measure" else ""

    @property
    def several(self) -> bool:
        """Whether every answer counts beside the others: photos of a defect as found."""
        return self.key.endswith(FOUND)

    @property
    def hangs(self) -> bool:
        """Whether it belongs to a defect: nobody reports a defect on it."""
        return base_key(self.key) != self.key

    @property
    def verdict(self) -> str:
        """Verdict of the latest answer; empty while there is none."""
        return self.answer.verdict if self.answer else ""

    @property
    def settled(self) -> bool:
        """Whether nothing of this item stands in the way of signing."""
        if self.defect is not None:
            return self.may_stay
        if self.answer is None:
            return not self.required
        settling = {"pass", "recorded", "fail"} if self.item.as_found else {"pass", "recorded"}
        return self.verdict in settling or self.waiver is not None or not self.required


@dataclass(frozen=True)
class StageView:
    """One stage as it stands."""

    stage: StageRecord
    key: str
    title: str
    number: int
    hold: bool
    cautions: tuple[str, ...]
    items: tuple[ItemView, ...]
    #: Sentences: what keeps this stage from being signed.
    missing: tuple[str, ...]
    open_defects: tuple[Defect, ...]
    #: Every defect the stage ever had, with its waiver if there is one.
    defects: tuple[Defect, ...]
    #: Title of the earlier hold point that must be signed first; empty when none.
    locked_by: str
    signature: Signature | None
    returns: tuple[StageReturn, ...]
    #: What is to be known of how the signature came here.
    signature_notes: tuple[str, ...] = ()

    @property
    def signed(self) -> bool:
        """Whether the stage is frozen."""
        return self.stage.is_signed

    def item(self, key: str) -> ItemView | None:
        """Return the item of this key, if it applies."""
        return next((one for one in self.items if one.key == key), None)

    @property
    def can_sign(self) -> bool:
        """Whether nothing stands in the way of the crew's signature."""
        return not self.signed and not self.missing and not self.locked_by

    @property
    def answered(self) -> int:
        """How many items are settled."""
        return sum(1 for one in self.items if one.settled and one.answer is not None)

    @property
    def state(self) -> str:
        """Signed, locked, ready to sign, under way or not begun."""
        if self.signed:
            return "signed"
        if self.can_sign:
            return "ready to sign"
        if self.open_defects:
            return "defect open"
        if any(one.answer for one in self.items):
            return "under way"
        return "locked" if self.locked_by else "not begun"


@dataclass(frozen=True)
class EarlierSignOff:
    """A sign-off that a reopening ended, as it was."""

    sign_off: SignOff
    reopening: SignOffReopening
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class RecordView:
    """The whole record."""

    record: SiteRecord
    checklist: Checklist
    #: imperial | metric, as the site has it.
    system: str
    stages: tuple[StageView, ...]
    #: Sentences with the stage's title in front: what keeps the job from being signed off.
    missing: tuple[str, ...]
    open_defects: tuple[Defect, ...]
    waivers: tuple[Waiver, ...]
    photos: tuple[Photo, ...]
    #: What came too late for the record, oldest first.
    late: tuple[LateView, ...]
    #: The one in force; none while the job is open.
    sign_off: SignOff | None
    #: What is to be known of how the sign-off came here.
    sign_off_notes: tuple[str, ...] = ()
    #: Oldest first.
    earlier_sign_offs: tuple[EarlierSignOff, ...] = ()

    @property
    def all_signed(self) -> bool:
        """Whether every stage is signed."""
        return all(stage.signed for stage in self.stages)

    def stage(self, key: str) -> StageView | None:
        """Return the stage of this key."""
        return next((one for one in self.stages if one.key == key), None)
