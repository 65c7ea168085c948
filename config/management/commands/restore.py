"""Puts a backup back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from config.backup.erasures import erasures_do_again
from config.backup.restoring import backup_restore


class Command(BaseCommand):
    """Put database, files and secret of an archive back."""

    help = "Puts database, files and secret of an archive back."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the archive and the permission to replace."""
        parser.add_argument("archive", type=Path)
        parser.add_argument("--replace", action="store_true", help="take the place of the shop that is here")

    def handle(self, *args: Any, archive: Path, replace: bool, **options: Any) -> None:
        """Restore and say where the old shop went."""
        aside = backup_restore(path=archive, replace=replace, now=timezone.now())
        self.stdout.write(f"Everything of {archive} is back.")
        if again := erasures_do_again(now=timezone.now()).again:
            self.stdout.write(f"Erased again, because they had been erased after it was taken: {again}.")
        if aside:
            self.stdout.write(f"What was here before is kept in {aside}.")
