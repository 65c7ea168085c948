"""Django's own, between taking the evidence log's triggers off and laying them afresh."""

from __future__ import annotations

from typing import Any

from django.core.management.commands.migrate import Command as Migrate
from django.db import connections

from config.evidence import ROWS
from jobs.evidence_guards import guards_lay, guards_take_off
from jobs.models import Erasure


class Command(Migrate):
    """Change the tables, then lay the triggers over the columns they have now.

    SQLite makes an altered table anew and forgets its triggers, and does not let a table be renamed while a
    trigger elsewhere names it.
    """

    def get_check_kwargs(self, options: dict[str, Any]) -> Any:
        """Ask the database nothing before.

        A run that was killed leaves a database without its triggers, a new release one with those of before.
        This command lays them, and must not be refused because they are missing.
        """
        return {**super().get_check_kwargs(options), "databases": []}

    def handle(self, *args: Any, **options: Any) -> None:
        """Take off, migrate, lay."""
        connection = connections[options["database"]]
        only_shows = options["plan"] or options["check_unapplied"]
        if only_shows:
            super().handle(*args, **options)
            return
        guards_take_off(connection)
        try:
            super().handle(*args, **options)
        finally:
            if Erasure._meta.db_table in connection.introspection.table_names():
                guards_lay(connection, ROWS)
