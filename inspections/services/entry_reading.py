"""Entries as they travel, version by version, and how they are read."""

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
    GetJsonSchemaHandler,
    ValidationError,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from inspections.errors import InspectionsError
from inspections.services.sent_entries import SentEntry, SentSignature
from inspections.services.signatures import LARGEST_BOX, MOST_POINTS, MOST_STROKES
from inspections.services.strict_json import problem_words

VERSIONS = (1, 2)
LONGEST_TEXT = 4000
#: A tablet's clock may be wrong by years; a time outside of these is none.
_FIRST, _LAST = datetime(1970, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)
#: A character without a number, which no database keeps, is no text.
_TEXT = r"^[^\x00]*$"

Kind = Literal["begin", "answer", "photo", "signature", "defect", "sign_off"]
Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]*$", max_length=60)]
Point = Annotated[list[FiniteFloat], Field(min_length=2, max_length=2)]
Stroke = Annotated[list[Point], Field(min_length=1, max_length=MOST_POINTS)]


class Sent(BaseModel):
    """Something a tablet sent. Fields that an app of a later day adds are passed over."""

    model_config = ConfigDict(extra="ignore")


class SentInk(Sent):
    """Strokes in a box, or a typed name."""

    strokes: Annotated[list[Stroke], Field(max_length=MOST_STROKES)] = []
    width: int = Field(ge=1, le=LARGEST_BOX)
    height: int = Field(ge=1, le=LARGEST_BOX)
    name: Annotated[str, Field(pattern=_TEXT, max_length=120)] = ""


class SentPhoto(Sent):
    """What a photo's bytes must be; they go up by themselves."""

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
    text: Annotated[str, Field(pattern=_TEXT, max_length=LONGEST_TEXT)] = ""
    taken_at: str = Field(max_length=60, default="", description="The tablet's time, ISO 8601 with offset.")
    signature: SentInk | None = None
    photo: SentPhoto | None = None

    @model_validator(mode="after")
    def _whole(self) -> EntryV1:
        if self.kind == "photo" and self.photo is None:
            raise ValueError("the photo is missing; take it again")
        if self.kind in {"signature", "sign_off"} and self.signature is None:
            raise ValueError("the signature is missing; sign again")
        return self


class EntryV2(EntryV1):
    """An entry as it is sent today."""

    version: Literal[2]  # type: ignore[assignment]
    saw: uuid.UUID | None = Field(description="Entry of the answer that stood when this was entered.")
    verdict: Literal["pass", "fail", "unknown", "recorded", ""] = Field(description="The tablet's own.")
    knew: str = Field(
        max_length=60,
        default="",
        description="`made_at` of the bundle the tablet had when this was entered: what was raised by hand"
        " later, its person had not seen.",
    )
    severity: Literal["danger", "correct", "advice", ""] = Field(
        default="", description="How grave a defect is; empty is read as one that must be corrected."
    )
    place: Annotated[str, Field(pattern=_TEXT, max_length=200, description="Where a defect is.")] = ""


READERS: dict[int, type[EntryV1]] = {1: EntryV1, 2: EntryV2}


class AnyEntry:
    """Any JSON, described as an entry: it is read by itself, so that a bad one spoils no other."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        return core_schema.any_schema()

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {
            "anyOf": [handler(EntryV2.__pydantic_core_schema__), handler(EntryV1.__pydantic_core_schema__)]
        }


def entry_read(raw: Any) -> SentEntry:
    """Return an entry as the services take it; refuse what is none, or of a version not known here."""
    if not isinstance(raw, Mapping):
        raise InspectionsError("not_understood", "This was not understood: it is no entry. Enter it again.")
    version = raw.get("version")
    if isinstance(version, bool) or not isinstance(version, int):
        raise InspectionsError(
            "not_understood", "This was not understood: its version is no number. Enter it again."
        )
    if version not in READERS:
        raise InspectionsError(
            "entry_version",
            "The app on this tablet is newer than the server. Keep the entry until the office has brought the"
            " server up to date.",
        )
    try:
        return _as_sent(READERS[version].model_validate(raw))
    except ValidationError as error:
        words = problem_words(error.errors(include_url=False))
        raise InspectionsError(
            "not_understood", f"This was not understood ({words}). Enter it again."
        ) from error


def entry_named(raw: Any) -> str:
    """Return the UUID something sent as an entry has; empty where none can be read."""
    told = raw.get("entry") if isinstance(raw, Mapping) else None
    try:
        return str(uuid.UUID(told))
    except (ValueError, TypeError, AttributeError):
        return ""


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
        knew=_moment(later.knew) if later else None,
        verdict=later.verdict if later else "",
        severity=later.severity if later else "",
        place=later.place if later else "",
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
