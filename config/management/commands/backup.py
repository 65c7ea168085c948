"""Takes a backup while the shop goes on working."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from config.backup.writing import backup_make


class Command(BaseCommand):
    """Write database, files and secret into one archive."""

    help = "Writes database, files and secret into one archive; the shop may go on working."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the archive's name."""
        parser.add_argument("archive", nargs="?", help="where to write; a name with the time when left out")

    def handle(self, *args: Any, archive: str | None, **options: Any) -> None:
        """Take the backup and say what is in it."""
        now = timezone.now()
        path = Path(archive or f"fluewright-{now:%Y%m%d-%H%M%S}.tar").absolute()
        if path.exists():
            raise CommandError(f"{path} is there already. Name another file.")
        report = backup_make(path=path, now=now)
        size = path.stat().st_size / 1e6
        self.stdout.write(f"{path}: database and {report.files} files, {size:.1f} MB.")
        self.stdout.write("It holds secrets and customers' papers: keep it where only you can read it.")
        if report.missing:
            raise CommandError(
                f"The backup is taken, but {len(report.missing)} files that the records name are not there,"
                f" for example {report.missing[0]}. Look for them in an older backup."
            )
