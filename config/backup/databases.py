"""Copies of the database that are consistent while the shop goes on working."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from django.core.management import CommandError
from django.db import connection

NAMES = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}
LOGIN = {"HOST": "PGHOST", "PORT": "PGPORT", "USER": "PGUSER", "PASSWORD": "PGPASSWORD", "NAME": "PGDATABASE"}


def database_copy(folder: Path) -> Path:
    """Copy the database into a folder and return the file."""
    copy = folder / NAMES[connection.vendor]
    if connection.vendor == "sqlite":
        sqlite_copy(Path(connection.settings_dict["NAME"]), copy)
    else:
        postgres("pg_dump", "--format=custom", "--no-owner", "--no-privileges", "--file", str(copy))
    return copy


def sqlite_copy(source: Path, copy: Path) -> None:
    """Copy a SQLite file with SQLite's own backup, and look the copy over."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(copy)) as target:
        live.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
    sqlite_look_over(copy)


def sqlite_look_over(path: Path) -> None:
    """Refuse a SQLite file that is damaged."""
    try:
        with closing(sqlite3.connect(path)) as database:
            answer = database.execute("PRAGMA integrity_check").fetchone()[0]
            torn = database.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.DatabaseError as error:
        raise CommandError(f"The database in {path.name} cannot be read ({error}).") from error
    if answer != "ok" or torn:
        raise CommandError(f"The database in {path.name} is damaged ({answer}). Take another backup.")


def postgres_put_back(dump: Path) -> None:
    """Replace all that is in the PostgreSQL database by a dump, in one transaction."""
    connection.close()
    empty, script = dump.with_name("empty.sql"), dump.with_name("database.sql")
    empty.write_text("DROP SCHEMA public CASCADE; CREATE SCHEMA public;")
    postgres("pg_restore", "--no-owner", "--no-privileges", "--file", str(script), str(dump))
    postgres("psql", "--quiet", "--no-psqlrc", "--single-transaction", "--set", "ON_ERROR_STOP=1",
             "--file", str(empty), "--file", str(script))  # fmt: skip


def postgres(program: str, *arguments: str) -> None:
    """Run one of PostgreSQL's programs on the shop's database."""
    found = shutil.which(program) or newest(program)
    if found is None:
        raise CommandError(f"{program} is missing; on Debian: sudo apt-get install postgresql-client")
    told = connection.settings_dict
    names = {
        "HOST": "PGHOST",
        "PORT": "PGPORT",
        "USER": "PGUSER",
        "PASSWORD": "PGPASSWORD",
        "NAME": "PGDATABASE",
    }
    environment = {variable: str(told[name]) for name, variable in names.items() if told.get(name)}
    done = subprocess.run(  # noqa: S603  (a program of PostgreSQL, with the arguments above)
        [found, *arguments], env={**os.environ, **environment}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise CommandError(f"{program} failed: {done.stderr.strip()}")


def newest(program: str) -> str | None:
    """Return where Debian keeps the newest version of a program."""
    found = sorted(
        Path("/usr/lib/postgresql").glob(f"*/bin/{program}"), key=lambda path: float(path.parts[-3])
    )
    return str(found[-1]) if found else None


def database_is_empty() -> bool:
    """Whether nothing would be lost by putting another database in this one's place."""
    return not connection.introspection.table_names()
