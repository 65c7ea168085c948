"""Triggers that keep what is recorded as it was recorded, made from the table of rows for either database.

They stop a slip, a bug and a clerk with SQL. Somebody with the whole disk can take them off; that is what the
hashes are for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from django.apps import apps
from django.db import models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.constants import LOOKUP_SEP

from jobs.evidence_rows import ERASED, RowKind

PREFIX = "evidence_guard_"


if TYPE_CHECKING:
    AnyField = models.Field[Any, Any]


@dataclass(frozen=True)
class Guard:
    """One trigger: its name, its table and the statements that lay it."""

    name: str
    table: str
    statements: tuple[str, ...]


def guards_lay(connection: BaseDatabaseWrapper, kinds: Iterable[RowKind]) -> None:
    """Lay every trigger afresh, over the columns the tables have now."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        _take_off(connection)
        for guard in guards_of(connection, kinds):
            for statement in guard.statements:
                cursor.execute(statement)


def guards_take_off(connection: BaseDatabaseWrapper) -> None:
    """Take every trigger off: a change of tables, or emptying all of them, comes next."""
    with transaction.atomic(using=connection.alias):
        _take_off(connection)


def guards_missing(connection: BaseDatabaseWrapper, kinds: Iterable[RowKind]) -> list[str]:
    """Return the names of triggers that are not there, or not as they are laid today."""
    there = _laid(connection)
    told = guards_of(connection, kinds)
    if connection.vendor == "sqlite":
        return [one.name for one in told if there.get(one.name) != one.statements[-1]]
    bodies = _bodies(connection)
    return [one.name for one in told if one.name not in there or bodies.get(one.name) != _body(one)]


def guards_of(connection: BaseDatabaseWrapper, kinds: Iterable[RowKind]) -> Iterator[Guard]:
    """Return every trigger of a table of rows."""
    for kind in kinds:
        model = apps.get_model(kind.model)
        writer = _Writer(connection, kind, model)
        if writer.fields:
            yield writer.update()
            if not kind.ages:
                yield writer.delete()
            yield writer.replace() if connection.vendor == "sqlite" else writer.truncate()


class _Writer:
    """Writes the triggers of one table."""

    def __init__(self, connection: BaseDatabaseWrapper, kind: RowKind, model: type[models.Model]) -> None:
        self.kind, self.model = kind, model
        self.sqlite = connection.vendor == "sqlite"
        self.quote = connection.ops.quote_name
        self.table = model._meta.db_table
        self.noun = str(model._meta.verbose_name)
        # A database on its way to today's shape has not all tables and columns yet.
        there = _columns(connection, self.table)
        fields = [field for field in model._meta.concrete_fields if field.column in there]
        self.fields = [field for field in fields if field.name not in kind.changes]

    def update(self) -> Guard:
        """Refuse a change of what never changes."""
        changed = " OR ".join(self.change(field) for field in self.fields)
        when = "" if self.kind.sealed else changed
        return self.guard(
            "update",
            "UPDATE",
            when,
            f"This {self.noun} is recorded for good and cannot be changed. Add what corrects it instead.",
        )

    def delete(self) -> Guard:
        """Refuse to let a row go."""
        when = f"NOT {self.forgotten()}" if self.kind.goes else ""
        return self.guard(
            "delete", "DELETE", when, f"This {self.noun} is recorded for good and cannot be deleted."
        )

    def replace(self) -> Guard:
        """Refuse a row in the place of another; SQLite replaces without calling it a deletion."""
        unique = [field for field in self.model._meta.concrete_fields if field.unique]
        sets = [(field,) for field in unique] + [
            tuple(_field(self.model, name) for name in one.fields)
            for one in self.model._meta.constraints
            if isinstance(one, models.UniqueConstraint) and one.fields and one.condition is None
        ]
        same = " OR ".join(
            f"EXISTS (SELECT 1 FROM {self.quote(self.table)} AS kept WHERE "  # noqa: S608 (names of models)
            + " AND ".join(f"kept.{self.column(field)} = NEW.{self.column(field)}" for field in fields)
            + ")"
            for fields in sets
        )
        words = f"There is such a {self.noun} already, and no other takes its place."
        return self.guard("replace", "INSERT", same, words)

    def truncate(self) -> Guard:
        """Refuse to empty the table."""
        return self.guard("truncate", "TRUNCATE", "", f"Every {self.noun} is recorded for good.")

    def change(self, field: AnyField) -> str:
        """Return the condition under which a column's change is refused."""
        column = self.column(field)
        differs = "IS NOT" if self.sqlite else "IS DISTINCT FROM"
        changed = f"OLD.{column} {differs} NEW.{column}"
        if field.name in self.kind.once:
            changed = " AND ".join([f"OLD.{column} IS NOT NULL", *self.not_blank(field), changed])
        forget = self.kind.forget or {}
        if field.name not in forget:
            return f"({changed})"
        allowed = [f"NEW.{column} IN ({self.blanks(field)})", self.forgotten()]
        if condition := forget[field.name]:
            other, value = condition
            allowed.append(f"OLD.{self.quote(other)} = '{value}'")
        return f"({changed} AND NOT ({' AND '.join(allowed)}))"

    def not_blank(self, field: AnyField) -> list[str]:
        """Return that a text column has something in it."""
        return [f"OLD.{self.column(field)} <> ''"] if self.is_text(field) else []

    def is_text(self, field: AnyField) -> bool:
        """Whether a column holds words."""
        return isinstance(field, models.CharField | models.TextField | models.FileField)

    def blanks(self, field: AnyField) -> str:
        """Return what may stand in a column whose words were forgotten."""
        if isinstance(field, models.JSONField):
            return "'{}'" if self.sqlite else "'{}'::jsonb"
        return f"'', '{ERASED}'"

    def forgotten(self) -> str:
        """Return the condition that a row's customer was forgotten on purpose."""
        joins: list[tuple[str, str, str]] = []
        last = ""
        (way,) = self.kind.ways
        names = [*way.split(LOOKUP_SEP), "installation", "site"]
        model: type[models.Model] = self.model
        for at, name in enumerate(names):
            field = _field(model, name)
            model = cast(type[models.Model], field.related_model)
            key = f"{last or 'OLD'}.{self.column(field)}"
            joins.append((model._meta.db_table, f"t{at}", key))
            last = f"t{at}"
        (first, alias, key), *rest = joins
        erasure = apps.get_model("jobs.Erasure")
        tables = f"{self.quote(first)} AS {alias}" + "".join(
            f" JOIN {self.quote(table)} AS {name} ON {name}.{self.quote('id')} = {at}"
            for table, name, at in rest
        )
        return (
            f"EXISTS (SELECT 1 FROM {tables}"  # noqa: S608 (names of models)
            f" JOIN {self.quote(erasure._meta.db_table)} AS erasure"
            f" ON erasure.{self.quote('customer_id')} = {last}.{self.quote('customer_id')}"
            f" WHERE {alias}.{self.quote('id')} = {key})"
        )

    def column(self, field: AnyField) -> str:
        """Return a column's quoted name."""
        return self.quote(field.column or field.name)

    def guard(self, name: str, event: str, when: str, words: str) -> Guard:
        """Return a trigger that refuses with words where a condition holds."""
        full = f"{PREFIX}{self.table}_{name}"
        told = words.replace("'", "''")
        table = self.quote(self.table)
        if self.sqlite:
            condition = f" WHEN {when}" if when else ""
            laid = (
                f"CREATE TRIGGER {full} BEFORE {event} ON {table} FOR EACH ROW{condition}"
                f" BEGIN SELECT RAISE(ABORT, '{told}'); END"
            )
            return Guard(full, self.table, (laid,))
        each = "STATEMENT" if event == "TRUNCATE" else "ROW"
        row = "OLD" if event == "DELETE" else "NEW"
        refuse = f"RAISE EXCEPTION USING MESSAGE = '{told}', ERRCODE = 'integrity_constraint_violation';"
        body = f"IF {when} THEN {refuse} END IF; RETURN {row};" if when else refuse
        return Guard(
            full,
            self.table,
            (
                f"CREATE OR REPLACE FUNCTION {full}() RETURNS trigger LANGUAGE plpgsql AS"
                f" $guard$ BEGIN {body} END $guard$",
                f"CREATE TRIGGER {full} BEFORE {event} ON {table} FOR EACH {each} EXECUTE FUNCTION {full}()",
            ),
        )


def _field(model: type[models.Model], name: str) -> AnyField:
    return cast("AnyField", model._meta.get_field(name))


def _take_off(connection: BaseDatabaseWrapper) -> None:
    with connection.cursor() as cursor:
        for name, told in _laid(connection).items():
            if connection.vendor == "sqlite":
                cursor.execute(f"DROP TRIGGER {name}")
            else:
                cursor.execute(f"DROP TRIGGER {name} ON {connection.ops.quote_name(told)}")
                cursor.execute(f"DROP FUNCTION {name}()")


def _laid(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """Triggers by name: what SQLite keeps as their text, and PostgreSQL as their table if they are on."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND name LIKE %s", [PREFIX + "%"]
            )
        else:
            cursor.execute(
                "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid"
                " WHERE t.tgname LIKE %s AND t.tgenabled <> 'D'"
                " AND c.relnamespace = current_schema()::regnamespace",
                [PREFIX + "%"],
            )
        return dict(cursor.fetchall())


def _columns(connection: BaseDatabaseWrapper, table: str) -> set[str]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM pragma_table_info(%s)", [table])
        else:
            cursor.execute(
                "SELECT column_name FROM information_schema.columns"
                " WHERE table_schema = current_schema() AND table_name = %s",
                [table],
            )
        return {name for (name,) in cursor.fetchall()}


def _bodies(connection: BaseDatabaseWrapper) -> dict[str, str]:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT proname, prosrc FROM pg_proc WHERE proname LIKE %s"
            " AND pronamespace = current_schema()::regnamespace",
            [PREFIX + "%"],
        )
        return dict(cursor.fetchall())


def _body(guard: Guard) -> str:
    return guard.statements[0].split("$guard$")[1]
