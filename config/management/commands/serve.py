"""Serves the shop: web, worker and scheduler together."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from config.serving import make_ready, refuse_taken_port, serve


class Command(BaseCommand):
    """Bring everything up to date, then run until stopped."""

    help = "Runs web, worker and scheduler together, after bringing the database up to date."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the address to listen on."""
        parser.add_argument("--bind", default="127.0.0.1:8000", help="host:port to listen on")

    def handle(self, *args: Any, bind: str, **options: Any) -> None:
        """Serve."""
        refuse_taken_port(bind)
        make_ready()
        serve(bind=bind)
