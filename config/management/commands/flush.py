"""Django's own: it empties every table, the evidence log's with them."""

from __future__ import annotations

from typing import Any

from django.core.management.commands.flush import Command as Flush
from django.db import connections

from config.evidence import ROWS
from jobs.evidence_guards import guards_lay, guards_take_off


class Command(Flush):
    """Empty the whole database, which the triggers would refuse, and lay them again."""

    def handle(self, **options: Any) -> None:
        """Take off, empty, lay."""
        connection = connections[options["database"]]
        guards_take_off(connection)
        try:
            super().handle(**options)
        finally:
            guards_lay(connection, ROWS)
