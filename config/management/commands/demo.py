"""Shows the invented shop: everything made ready, filled and served."""

from __future__ import annotations

import shutil
import urllib.error
import urllib.request
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connections

from config.demo.people import logins
from config.serving import make_ready, refuse_taken_port, serve

MARK = "holds-the-invented-shop"


class Command(BaseCommand):
    """Fill an empty database with the invented shop, then run until stopped."""

    help = "Serves the invented shop. bin/demo calls this."
    requires_system_checks = ()
    answered = False

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the address to listen on."""
        parser.add_argument("--bind", default="127.0.0.1:8000", help="host:port to listen on")
        parser.add_argument(
            "--fresh", action="store_true", help="begin again with the shop as it was at first"
        )

    def handle(self, *args: Any, bind: str, fresh: bool, **options: Any) -> None:
        """Make ready, fill, serve; say where once a page really answers."""
        refuse_taken_port(bind)
        if fresh:
            self.empty()
        self.mark()
        make_ready()
        call_command("load_demo", stdout=self.stdout)
        self.stdout.write("Starting web, worker and scheduler.")
        serve(bind=bind, logs=settings.VAR_DIR / "log", each_turn=self.announce)
        self.stdout.write("Stopped. bin/demo goes on from here, bin/demo --fresh begins again.")

    def mark(self) -> None:
        """Mark a new folder as the invented shop's, so that only such a one is ever emptied."""
        if settings.DATABASE_URL == "" and not (settings.VAR_DIR / "fluewright.sqlite3").exists():
            (settings.VAR_DIR / MARK).touch()

    def empty(self) -> None:
        """Throw the invented shop away."""
        if not (settings.VAR_DIR / MARK).exists():
            raise CommandError(
                f"{settings.VAR_DIR} was not made by bin/demo, and --fresh throws nothing else away."
                " Start without --fresh, or name another folder with FLUEWRIGHT_VAR."
            )
        connections.close_all()
        for entry in settings.VAR_DIR.iterdir():
            if entry.is_dir():
                shutil.rmtree(entry)
            elif entry.name != "secret_key":
                entry.unlink()

    def announce(self) -> None:
        """Print address and logins, once, when the login page answers."""
        if self.answered:
            return
        try:
            with urllib.request.urlopen(f"{settings.SITE_URL}/account/login/", timeout=5):  # noqa: S310
                self.answered = True
        except urllib.error.HTTPError as error:
            self.answered = True
            self.stderr.write(f"The login page answers {error}; see {settings.VAR_DIR / 'log'}.")
        except OSError:
            return
        else:
            self.stdout.write(f"\n{settings.SITE_URL}\n\n{logins()}\n")
            self.stdout.write(f"Mail the shop sends is written to {settings.VAR_DIR / 'mail'}. Ctrl-C stops.")
