"""A job bundle's shape: what a tablet takes along of one job. Published as docs/schemas/job-bundle.1.json."""

from __future__ import annotations

from datetime import datetime
from typing import Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field

Verdict = Literal["pass", "fail", "unknown", "recorded"]
Severity = Literal["danger", "correct", "advice"]
System = Literal["imperial", "metric"]


class Part(BaseModel):
    """Something a bundle is made of; the published schema names every field and allows no other."""

    model_config = ConfigDict(extra="forbid", frozen=True, json_schema_serialization_defaults_required=True)


class JobPart(Part):
    """Which job it is."""

    id: int
    number: str
    kind: str
    status: str
    status_words: str


class SitePart(Part):
    """Where the house is and what to know before going there."""

    customer: str
    phone: str
    address: list[str]
    system: System
    time_zone: str
    access_notes: str
    hazard_notes: str


class VisitPart(Part):
    """When a crew is to be there."""

    starts_at: datetime
    ends_at: datetime
    crew: str
    note: str


class MayPart(Part):
    """What this person may do on this job as things stand."""

    begin: bool
    work: bool
    report: bool
    sign_off: bool


class ChecklistPart(Part):
    """Which checklist the job is held to."""

    title: str
    version: int


class LimitPart(Part):
    """What a measure must meet, in the SI unit named."""

    minimum: float | None
    maximum: float | None
    unit: str


class OptionPart(Part):
    """One answer that may be chosen."""

    key: str
    words: str
    fails: bool
    severity: Literal["", "danger", "correct", "advice"] = Field(description="Empty: the item's.")
    silent: bool = Field(default=False, description="It judges nothing: neither pass nor fail.")


class ConditionPart(Part):
    """An item applies only if another one failed, passed, or was answered with one of these choices."""

    item: str
    outcome: Literal["", "pass", "fail"]
    chosen: list[str]


class PicturePart(Part):
    """A photo on the server; its addresses are empty until its copies are made."""

    id: int
    thumbnail: str
    picture: str


class LastTimePart(Part):
    """What was found the last time somebody stood before this."""

    words: str = Field(description="Empty where it was a photo.")
    day: str = Field(description="In words, on the calendar of the house.")
    verdict: Verdict
    photo: PicturePart | None


class ItemPart(Part):
    """One thing to confirm, measure, photograph, choose or write down."""

    key: str
    kind: Literal["confirm", "measure", "photo", "choose", "note"]
    ask: str
    how: str
    required: bool
    as_found: bool = Field(description="A fail is recorded, but is no defect.")
    quantity: str = Field(description="Kind of quantity; empty unless a measure.")
    measures: bool = Field(description="Whether the item is held to a limit by name.")
    limit: LimitPart | None = Field(description="null: no limit is known, so the verdict is unknown.")
    limit_words: str
    source_words: str
    options: list[OptionPart]
    when: ConditionPart | None
    keys: list[tuple[str, str]] = Field(description="What is on a key beside the field, what it writes.")
    hint: str
    input_mode: Literal["decimal", "numeric", "text"]
    severity: Severity = Field(description="How grave the defect is that a failing answer opens.")
    last: LastTimePart | None = Field(default=None, description="null: no visit before tells of it.")


class SigningPart(Part):
    """Who signed, and when."""

    by: str
    at: datetime


class ReturnPart(Part):
    """Who sent a stage back to the crew, when and why."""

    by: str
    at: datetime
    reason: str


class StagePart(Part):
    """A part of the work that is signed as one."""

    key: str
    title: str
    hold: bool
    cautions: list[str]
    plan_says: list[str]
    items: list[ItemPart] = Field(description="Those the facts of the job ask for.")
    signed: SigningPart | None
    returns: list[ReturnPart]


class AnswerPart(Part):
    """One answer on the server, with the server's verdict."""

    entry: UUID
    stage: str
    item: str
    kind: Literal["confirm", "measure", "photo", "choose", "note"]
    text: str
    value: float | None
    verdict: Verdict
    said: str
    margin: str
    by: str
    received_at: datetime
    photo: PicturePart | None


class WaiverPart(Part):
    """Who accepted a defect, on what authority and why."""

    by: str
    at: datetime
    authority: str
    reason: str


class DefectPart(Part):
    """Something that failed, stayed unknown, or was reported by hand."""

    id: int
    stage: str
    item: str
    description: str
    open: bool
    raised_alone: bool
    by: str
    at: datetime
    waiver: WaiverPart | None
    severity: Severity = Field(description="What counts: the latest grading, else as it was found.")
    place: str
    rule: str = Field(description="The rule it breaks with its source, in words; empty where none is known.")
    came_for: bool = Field(description="Whether the job came to put it right.")
    items: list[ItemPart] = Field(
        description="By which one the job came for is put right; empty where the tablet knows them itself."
    )
    photos: list[PicturePart] = Field(description="As it was found on the job it was carried from.")


class LatePart(Part):
    """An entry that came too late for the record and is kept for the inspector."""

    entry: UUID
    stage: str
    item: str
    words: str
    why: str
    by: str
    received_at: datetime
    looked_at: bool


class CutPart(Part):
    """A piece of lumber to cut."""

    name: str
    note: str
    stock: str
    count: int
    length: str


class PanelPart(Part):
    """A panel of the enclosure to mark out."""

    name: str
    note: str
    count: int
    width: str
    left: str
    right: str
    bevel: str


class LoadPart(Part):
    """Something to load before driving out."""

    name: str
    count: str
    note: str


class PlanPart(Part):
    """The plan at hand on site."""

    revision: int
    drawing: str = Field(description="SVG")
    findings: list[str]
    cut_list: list[CutPart]
    panels: list[PanelPart]
    load_list: list[LoadPart]


class BegunPart(Part):
    """When the site work began."""

    begun_at: datetime
    begun_by: str


class Bundle(Part):
    """Everything a tablet needs to work one job without a network."""

    #: Raised when what an older tablet reads would no longer be there, or mean something else.
    schema_version: Literal[1] = Field(alias="schema", default=1)
    made_at: datetime
    job: JobPart
    site: SitePart
    visits: list[VisitPart]
    may: MayPart
    refusal: str = Field(description="Why the work cannot begin; empty where it can or has.")
    cautions: list[str]
    may_carry: bool = Field(description="Whether a defect found here may stay open and be carried on.")
    do_not_use: list[str] = Field(description="Open dangers found on other jobs at the stove; empty: none.")
    checklist: ChecklistPart
    record: BegunPart | None = Field(description="null: site work has not begun.")
    stages: list[StagePart]
    answers: list[AnswerPart] = Field(description="Oldest first, all of them: the last of an item counts.")
    defects: list[DefectPart] = Field(description="Oldest first.")
    late: list[LatePart]
    signed_off: SigningPart | None
    plan: PlanPart | None
