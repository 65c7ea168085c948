"""Erases again whom an old backup brought back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from config.backup.erasures import erasures_do_again, erasures_take_in


class Command(BaseCommand):
    """Go through the list of erasures; bin/restore does so by itself."""

    help = (
        "Erases again everybody on the list of erasures who is there with name and all. bin/restore does it"
        " by itself; by hand it is for a list kept elsewhere."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Take further lists."""
        parser.add_argument("lists", nargs="*", type=Path, help="copies of erasures.jsonl kept elsewhere")

    def handle(self, *args: Any, lists: list[Path], **options: Any) -> None:
        """Erase and say how many."""
        erasures_take_in(lists)
        done = erasures_do_again(now=timezone.now())
        self.stdout.write(f"{done.again} of {done.listed} on the list of erasures were erased again.")
