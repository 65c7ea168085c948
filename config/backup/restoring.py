"""Puts a backup back."""

from __future__ import annotations

import shutil
import tempfile
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from config.backup.archive import archive_read
from config.backup.databases import (
    NAMES,
    database_copy,
    database_is_empty,
    postgres_put_back,
    sqlite_look_over,
)
from inspections import erasure_list
from jobs.models import Heartbeat
from jobs.seal_keys import FILE_NAME, seal_key_file


def backup_restore(*, path: Path, replace: bool, now: datetime) -> Path | None:
    """Put everything back; return the folder in which what was there before is kept, if there was anything.

    The archive is unpacked and looked over whole before anything of the shop is touched.
    """
    refuse_while_working(now)
    is_empty = database_is_empty() and not has_files(Path(settings.MEDIA_ROOT))
    if not is_empty and not replace:
        raise CommandError(
            f"There is a shop here already ({settings.VAR_DIR}). With --replace the backup takes its place;"
            " what is here now is set aside, not thrown away."
        )
    with tempfile.TemporaryDirectory(dir=settings.VAR_DIR, prefix=".restore-") as unpacked:
        folder = Path(unpacked)
        manifest = archive_read(path, folder)
        check_fits(manifest, folder)
        aside = None if is_empty else settings.VAR_DIR / f"before-restore-{now:%Y%m%d-%H%M%S}"
        if aside:
            aside.mkdir()
        put_database(folder, aside)
        put(folder / "media", Path(settings.MEDIA_ROOT), aside)
        put(folder / "secret_key", settings.VAR_DIR / "secret_key", aside)
        put(folder / FILE_NAME, seal_key_file(), aside)
        # The list of erasures that is here stays, and what the backup knows is added: none is lost.
        list_of_backup = folder / erasure_list.FILE_NAME
        taken_in = list(erasure_list.erasure_list_read(list_of_backup))
    call_command("migrate", verbosity=0, interactive=False)
    call_command("createcachetable", verbosity=0)
    erasure_list.erasure_list_merge(taken_in)
    return aside


def refuse_while_working(now: datetime) -> None:
    """Refuse while a worker is at work on what is to be replaced."""
    if Heartbeat._meta.db_table not in connection.introspection.table_names():
        return
    if any(not heartbeat.is_silent(now) for heartbeat in Heartbeat.objects.all()):
        raise CommandError(
            "A worker was at work here within the last two minutes."
            " Stop the shop, wait two minutes, then restore."
        )


def has_files(folder: Path) -> bool:
    """Whether a folder holds anything."""
    return folder.is_dir() and any(path.is_file() for path in folder.rglob("*"))


def check_fits(manifest: dict[str, Any], folder: Path) -> None:
    """Refuse a backup of another kind of database, or of a newer version of this program."""
    if manifest["vendor"] != connection.vendor:
        raise CommandError(
            f"The backup is of a {manifest['vendor']} database and this shop is on {connection.vendor}."
            " Set or unset DATABASE_URL to match it."
        )
    if connection.vendor == "sqlite":
        sqlite_look_over(folder / NAMES["sqlite"])
    known = {
        f"{app}.{name}" for app, name in MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    }
    newer = sorted(set(manifest["migrations"]) - known)
    if newer:
        raise CommandError(f"The backup is of a newer version ({newer[-1]}). Update this program first.")


def put_database(folder: Path, aside: Path | None) -> None:
    """Put the database of the backup in the place of this one."""
    if connection.vendor != "sqlite":
        if aside:
            database_copy(aside)
        postgres_put_back(folder / NAMES["postgresql"])
        return
    connection.close()
    place = Path(connection.settings_dict["NAME"])
    for ending in ("-wal", "-shm"):
        put(folder / "none", place.with_name(place.name + ending), aside)
    put(folder / NAMES["sqlite"], place, aside)


def put(new: Path, place: Path, aside: Path | None) -> None:
    """Move what is in a place aside, and what is new into it."""
    if place.exists():
        if aside:
            shutil.move(place, aside / place.name)
        elif place.is_dir():
            shutil.rmtree(place)
        else:
            place.unlink()
    if new.exists():
        place.parent.mkdir(parents=True, exist_ok=True)
        shutil.move(new, place)
