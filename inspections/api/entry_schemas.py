"""Entries as they travel: what a tablet sends and what it hears back of each."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Annotated, Any, Literal

from django.conf import settings
from django.utils.dateparse import parse_datetime
from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    FiniteFloat,
    TypeAdapter,
    ValidationError,
    WithJsonSchema,
    model_validator,
)
from pydantic.json_schema import GetJsonSchemaHandler, JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from inspections.api.refusals import problem_words
from inspections.services.sent_entries import EntryResult, SentEntry, SentSignature
from inspections.services.signatures import LARGEST_BOX, MOST_POINTS, MOST_STROKES

VERSIONS = (1, 2)
MOST_ENTRIES = 50
LONGEST_TEXT = 4000
#: A tablet's clock may be wrong by years; a time no calendar here holds is none.
_FIRST, _LAST = datetime(1970, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)

Kind = Literal["begin", "answer", "photo", "signature", "defect", "sign_off"]
Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]*$", max_length=60)]
#: No database keeps a character of no width and no meaning.
Text = Annotated[str, Field(pattern=r"^[^\x00]*$", max_length=LONGEST_TEXT)]
Point = Annotated[list[FiniteFloat], Field(min_length=2, max_length=2)]
Stroke = Annotated[list[Point], Field(min_length=1, max_length=MOST_POINTS)]


class Sent(BaseModel):
    """Something a tablet sent. Fields that an app of a later day adds are passed over."""

    model_config = ConfigDict(extra="ignore")


class SignatureIn(Sent):
    """Strokes in a box, or a typed name."""

    strokes: Annotated[list[Stroke], Field(max_length=MOST_STROKES)] = []
    width: int = Field(ge=1, le=LARGEST_BOX)
    height: int = Field(ge=1, le=LARGEST_BOX)
    name: Annotated[str, Field(pattern=r"^[^\x00]*$", max_length=120)] = ""


class PhotoIn(Sent):
    """A photo whose bytes went up before."""

    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    size: int = Field(ge=1, le=settings.PHOTO_MAX_BYTES)
    media_type: str = Field(max_length=60, default="")


class EntryV1(Sent):
    """An entry of the first version, which did not tell what the tablet saw."""

    version: Literal[1]
    entry: uuid.UUID
    kind: Kind
    stage: Key = ""
    item: Key = ""
    text: Text = ""
    taken_at: str = Field(max_length=60, default="")
    signature: SignatureIn | None = None
    photo: PhotoIn | None = None

    @model_validator(mode="after")
    def _whole(self) -> EntryV1:
        if self.kind == "photo" and self.photo is None:
            raise ValueError("the photo's own figures are missing; take it again")
        if self.kind in {"signature", "sign_off"} and self.signature is None:
            raise ValueError("the signature is missing; sign again")
        return self


class EntryV2(EntryV1):
    """An entry as it is sent today."""

    version: Literal[2]  # type: ignore[assignment]
    saw: uuid.UUID | None = Field(description="Entry of the answer that stood when this was entered.")
    verdict: Literal["pass", "fail", "unknown", "recorded", ""] = Field(description="The tablet's own.")


READERS: dict[int, TypeAdapter[EntryV1]] = {1: TypeAdapter(EntryV1), 2: TypeAdapter(EntryV2)}


class _OneEntry:
    """Any JSON, read by itself later so that one bad entry does not spoil the batch."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        return core_schema.any_schema()

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        versions = (EntryV2.__pydantic_core_schema__, EntryV1.__pydantic_core_schema__)
        return {"anyOf": [handler(one) for one in versions]}


class EntriesIn(BaseModel):
    """A batch of entries of one job."""

    entries: Annotated[list[_OneEntry], Field(min_length=1, max_length=MOST_ENTRIES)]


class EntryResultOut(BaseModel):
    """What became of one entry."""

    entry: str = Field(description="UUID as sent; empty where none could be read.")
    outcome: Literal["accepted", "late", "refused", "wants_photo"]
    code: str
    sentence: str
    verdict: Literal["pass", "fail", "unknown", "recorded", ""] = Field(description="The server's.")
    differs: bool = Field(description="Whether the tablet had come to another verdict.")
    said: str
    margin: str
    received_at: datetime | None


class EntriesOut(BaseModel):
    """What became of a batch, entry by entry, in the order sent."""

    server_time: datetime
    clock_skew: Annotated[float | None, WithJsonSchema({"type": ["number", "null"]})] = Field(
        description="By how many seconds the tablet's clock is ahead; null where it did not say."
    )
    results: list[EntryResultOut]


def entry_read(raw: Any) -> SentEntry | EntryResultOut:
    """Return an entry as the services take it, or a refusal of this one entry alone."""
    if not isinstance(raw, Mapping):
        return _refused("", "not_understood", "This was not understood: it is no entry. Enter it again.")
    named = _named(raw.get("entry"))
    version = raw.get("version")
    if isinstance(version, int) and not isinstance(version, bool) and version not in READERS:
        return _refused(
            named,
            "entry_version",
            "The app on this tablet is newer than the server. Keep the entry; the shop's office updates the"
            " server.",
        )
    try:
        return _as_sent(READERS[2 if version is None else version].validate_python(raw))
    except ValidationError as error:
        words = problem_words(error.errors(include_url=False))
    except (KeyError, TypeError):
        words = "the version is no number"
    return _refused(named, "not_understood", f"This was not understood ({words}). Enter it again.")


def result_out(result: EntryResult) -> EntryResultOut:
    """Return a result as it travels."""
    return EntryResultOut(
        entry=str(result.entry),
        outcome=result.outcome,  # type: ignore[arg-type]
        code=result.code,
        sentence=result.sentence,
        verdict=result.verdict,  # type: ignore[arg-type]
        differs=result.differs,
        said=result.said,
        margin=result.margin,
        received_at=result.received_at,
    )


def _as_sent(told: EntryV1) -> SentEntry:
    ink = told.signature
    later = told if isinstance(told, EntryV2) else None
    return SentEntry(
        entry=told.entry,
        kind=told.kind,
        stage=told.stage,
        item=told.item,
        text=told.text,
        saw=later.saw if later else None,
        tells_what_it_saw=later is not None,
        verdict=later.verdict if later else "",
        taken_at=_moment(told.taken_at),
        signature=SentSignature(ink.strokes, ink.width, ink.height, ink.name) if ink else None,
        sha256=told.photo.sha256 if told.photo else "",
        raw=told.model_dump(mode="json"),
    )


def _moment(told: str) -> datetime | None:
    try:
        moment = parse_datetime(told)
    except ValueError:
        return None
    if moment is None or moment.tzinfo is None or not _FIRST <= moment <= _LAST:
        return None
    return moment.astimezone(UTC)


def _named(told: Any) -> str:
    try:
        return str(uuid.UUID(told))
    except (ValueError, TypeError, AttributeError):
        return ""


def _refused(entry: str, code: str, sentence: str) -> EntryResultOut:
    return EntryResultOut(
        entry=entry,
        outcome="refused",
        code=code,
        sentence=sentence,
        verdict="",
        differs=False,
        said="",
        margin="",
        received_at=None,
    )
