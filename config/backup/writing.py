"""Takes a backup."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.management import CommandError
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import FileField

from config.backup.archive import archive_write
from config.backup.databases import database_copy, database_is_empty
from inspections.erasure_list import erasure_list_file
from jobs.seal_keys import seal_key_file

#: Where the names of exports begin.
EXPORTS = "exports/"


@dataclass
class BackupReport:
    """What went into an archive, and which files the rows name that are not there."""

    path: Path
    files: int = 0
    missing: list[str] = field(default_factory=list)


def backup_make(*, path: Path, now: datetime) -> BackupReport:
    """Write everything into one archive while the shop goes on working.

    The database is copied first and the files after it: files are written before the row that names them
    and never changed, so every file the copied rows name is there.
    """
    if database_is_empty():
        raise CommandError(f"There is no shop in {settings.VAR_DIR} yet, so there is nothing to keep.")
    named = set(files_named())
    report = BackupReport(path)
    with archive_write(path) as archive, tempfile.TemporaryDirectory(dir=settings.VAR_DIR) as folder:
        copy = database_copy(Path(folder))
        archive.add(copy.name, copy)
        for beside in (settings.VAR_DIR / "secret_key", seal_key_file(), erasure_list_file()):
            if beside.exists():
                archive.add(beside.name, beside)
        for name, file in media_files():
            try:
                archive.add(f"media/{name}", file)
            except FileNotFoundError:
                continue
            report.files += 1
            named.discard(name)
        archive.finish(made_at=now.isoformat(), vendor=connection.vendor, migrations=migrations_applied())
    report.missing = sorted(named)
    return report


def media_files() -> Iterator[tuple[str, Path]]:
    """Yield each kept file by name; names that begin with a dot are not finished yet.

    Exports are left out: second copies of what is here, made to be gone after a week.
    """
    root = Path(settings.MEDIA_ROOT)
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        if path.is_file() and not path.name.startswith(".") and not name.startswith(EXPORTS):
            yield name, path


def files_named() -> Iterator[str]:
    """Yield every file that a row names."""
    for model in apps.get_models():
        for column in model._meta.fields:
            if isinstance(column, FileField):
                rows = model._default_manager.exclude(**{column.name: ""})
                rows = rows.exclude(**{f"{column.name}__startswith": EXPORTS})
                yield from rows.values_list(column.name, flat=True)


def migrations_applied() -> list[str]:
    """Return the migrations the database has been through."""
    return sorted(f"{app}.{name}" for app, name in MigrationRecorder(connection).applied_migrations())
