"""Writes the published schemas of what tablets and the server hand each other."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from inspections.schemas import schemas_written

FOLDER = Path(settings.BASE_DIR) / "docs" / "schemas"


class Command(BaseCommand):
    """Write every schema into docs/schemas."""

    help = (
        "Writes docs/schemas from the code: the job bundle, files of unsent work, lines of evidence,"
        " the export of a customer, the tablet's API."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        """Write."""
        FOLDER.mkdir(parents=True, exist_ok=True)
        for name, text in schemas_written().items():
            (FOLDER / name).write_text(text, encoding="utf-8")
            self.stdout.write(f"docs/schemas/{name}")
