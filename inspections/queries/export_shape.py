"""The shape of an export, made from the models' columns, so that a column added later is in it by itself."""

from __future__ import annotations

from datetime import date, datetime
from functools import cache
from typing import Annotated, Any, Literal
from uuid import UUID

from django.db.models import (
    BooleanField,
    CharField,
    DateField,
    DateTimeField,
    Field,
    FileField,
    FloatField,
    ForeignKey,
    IntegerField,
    JSONField,
    Model,
    TextField,
    UUIDField,
)
from pydantic import AwareDatetime, BaseModel, ConfigDict, create_model
from pydantic import Field as Told

from inspections.models.customer_data import HELD, NOT_THEIRS, Held
from jobs.models import Crew, SealCertificate, User

NAME, VERSION = "fluewright-customer-export", 1
_STRICT = ConfigDict(extra="forbid")


class Person(BaseModel):
    """Somebody of the shop."""

    model_config = _STRICT

    name: str
    role: str


class ExportedFile(BaseModel):
    """A file of the export. The same content is there once, whoever names it."""

    model_config = _STRICT

    path: Annotated[str, Told(description="Where in the ZIP it lies.")]
    sha256: Annotated[str, Told(pattern="^[0-9a-f]{64}$")]
    size: Annotated[int, Told(description="Bytes.")]
    is_: Annotated[str, Told(alias="is", description="What it is, in words.")]


class MissingFile(BaseModel):
    """A file that a row names and that is not in the export."""

    model_config = _STRICT

    is_: Annotated[str, Told(alias="is")]
    why: str


#: By kind of column. A column of another kind fails at import, so that nothing is written without a shape.
_TYPES: tuple[tuple[type[Field[Any, Any]], Any], ...] = (
    (FileField, Annotated[str | None, Told(description="Path in this ZIP; null where there is no file.")]),
    (JSONField, Any),
    (UUIDField, UUID),
    (DateTimeField, AwareDatetime),
    (DateField, date),
    (BooleanField, bool),
    (FloatField, float),
    (IntegerField, int),
    (CharField, str),
    (TextField, str),
)
_POINTED_TO: dict[type[Model], Any] = {User: Person, Crew: str, SealCertificate: str}


def columns_exported(held: Held) -> list[Field[Any, Any]]:
    """Return the columns of a model that are in the export, in order."""
    return [column for column in held.model._meta.concrete_fields if column.name not in held.without]


@cache
def export_shape() -> type[BaseModel]:
    """Return the model of a whole export."""
    one = {held.name: _row(held) for held in HELD if not held.left_out}
    parts: dict[str, Any] = {
        name: (row if name == "customer" else list[row], Told(description=_words(name)))  # type: ignore[valid-type]
        for name, row in one.items()
    }
    return create_model(
        "CustomerExport",
        __config__=_STRICT,
        __doc__="Everything a shop keeps about one customer. Times are UTC; quantities are in SI units.",
        **_head(),
        made_at=(AwareDatetime, ...),
        shop=(str, ...),
        **parts,
        files=(list[ExportedFile], ...),
        missing=(list[MissingFile], ...),
    )


def _head() -> dict[str, Any]:
    return {"export": (Literal[NAME], ...), "version": (Literal[VERSION], ...)}


def value_of(row: Model, column: Field[Any, Any], paths: dict[tuple[str, int], str]) -> Any:
    """Return a column's value as the export has it; `paths` says where a row's file lies."""
    if isinstance(column, FileField):
        return paths.get((row._meta.label, row.pk))
    if isinstance(column, ForeignKey) and column.related_model in NOT_THEIRS:
        return _named(getattr(row, column.name))
    value = getattr(row, column.attname)
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value) if isinstance(value, UUID) else value


def _row(held: Held) -> type[BaseModel]:
    # Under another name inside: a column may be called as something that every pydantic model has.
    columns: dict[str, Any] = {
        f"{column.name}_": (_type(column), Told(alias=column.name, description=_about(column)))
        for column in columns_exported(held)
    }
    return create_model(held.model.__name__, __config__=_STRICT, __doc__=held.words + ".", **columns)


def _type(column: Field[Any, Any]) -> Any:
    if isinstance(column, ForeignKey):
        pointed = column.related_model
        told = _POINTED_TO.get(pointed, int)
    elif column.choices and isinstance(column, CharField):
        words = [key for key, _ in column.flatchoices]
        told = Literal[(*words, *([""] if column.blank and "" not in words else []))]
    else:
        told = next(kind for wanted, kind in _TYPES if isinstance(column, wanted))
    return told | None if column.null and told is not Any else told


def _about(column: Field[Any, Any]) -> str:
    words = str(column.verbose_name)
    return words[:1].upper() + words[1:]


def _words(name: str) -> str:
    return next(held.words for held in HELD if held.name == name)


def _named(pointed: Any) -> Any:
    if isinstance(pointed, User):
        return {"name": pointed.name, "role": pointed.role}
    if isinstance(pointed, SealCertificate):
        return pointed.fingerprint
    return None if pointed is None else str(pointed)
