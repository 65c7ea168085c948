"""Files of unsent work: what a tablet wrote because it could not send. Published as unsent-work.1.json."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, ValidationError
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from inspections.errors import InspectionsError
from inspections.services.entry_reading import EntryV1, EntryV2, SentPhoto
from inspections.services.strict_json import json_read, problem_words

FORMAT = "fluewright unsent work"
VERSION = 1
MOST_ENTRIES = 20_000


class UnsentPhoto(SentPhoto):
    """A photo with its bytes, as they came from the camera."""

    bytes: str = Field(json_schema_extra={"contentEncoding": "base64"})


class UnsentV1(EntryV1):
    """An entry of the first version, with its job and its photo's bytes."""

    job: int
    photo: UnsentPhoto | None = None


class UnsentV2(EntryV2):
    """An entry as it is made today, with its job and its photo's bytes."""

    job: int
    photo: UnsentPhoto | None = None


class AnyUnsent:
    """Any JSON, described as an entry of a file: it is read by itself, so that a bad one spoils no other."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        return core_schema.any_schema()

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        versions = (UnsentV2.__pydantic_core_schema__, UnsentV1.__pydantic_core_schema__)
        return {"anyOf": [handler(one) for one in versions]}


class UnsentPerson(BaseModel):
    """Whose work it is."""

    id: int = Field(ge=1, lt=10**18)
    name: str


class UnsentFile(BaseModel):
    """One file of unsent work; larger work comes in several."""

    model_config = ConfigDict(extra="ignore")

    format: Literal["fluewright unsent work"]
    version: Literal[1]
    made_at: datetime
    device: str = Field(max_length=120)
    person: UnsentPerson
    part: int = Field(ge=1)
    parts: int = Field(ge=1)
    entries: Annotated[list[AnyUnsent], Field(max_length=MOST_ENTRIES)]


def unsent_read(content: bytes) -> UnsentFile:
    """Return a file of unsent work; refuse what is none, cut short, or of a later Fluewright."""
    try:
        told = json_read(content)
    except ValueError as error:
        raise _no_file() from error
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise _no_file()
    if told.get("version") != VERSION:
        raise InspectionsError(
            "newer_file",
            "A newer Fluewright wrote this file. Bring this one up to date first; keep the file until then.",
        )
    try:
        return UnsentFile.model_validate(told)
    except ValidationError as error:
        words = problem_words(error.errors(include_url=False))
        raise InspectionsError(
            "file_broken",
            f"This file of unsent work is damaged ({words}). Save it on the tablet once more.",
        ) from error


def photo_bytes(raw: Mapping[str, Any]) -> bytes:
    """Return the photo that an entry of a file brings; refuse one that is damaged."""
    told = raw["photo"]
    try:
        content = base64.b64decode(told.get("bytes") or "", validate=True)
    except (ValueError, TypeError):
        content = b""
    if hashlib.sha256(content).hexdigest() != told["sha256"]:
        raise InspectionsError(
            "photo_damaged",
            "The photo in the file is not the one that was taken. Save the file on the tablet once more.",
        )
    return content


def _no_file() -> InspectionsError:
    return InspectionsError(
        "not_unsent_work",
        "This is no file of unsent work, or it did not arrive whole. Save it on the tablet once more.",
    )
