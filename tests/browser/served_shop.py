"""A shop of its own, begun and served the way a real one is: web, worker and scheduler by one command."""

from __future__ import annotations

import os
import shelve
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TypeVar

from django.conf import settings

from tests.jobs.smtp_server import Received, SmtpServer
from tests.servers import free_port

PATIENCE = 60.0
FROM_OUTSIDE = ("DATABASE_URL", "REDIS_URL", "SECRET_KEY", "MEDIA_DIR", "DEBUG")

T = TypeVar("T")


def wait_for(find: Callable[[], T], *, what: str, patience: float = PATIENCE) -> T:
    """Ask again and again until there is something, and return it."""
    end = time.monotonic() + patience
    while not (found := find()):
        assert time.monotonic() < end, f"Waited {patience:.0f} s in vain for {what}"
        time.sleep(0.1)
    return found


class ServedShop:
    """Folder, address, mail server and processes of one shop."""

    def __init__(self, folder: Path, post: SmtpServer) -> None:
        self.folder = folder
        self.post = post
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = folder.parent / "serve.log"
        self.process: subprocess.Popen[bytes] | None = None
        self.environment = {
            **{name: value for name, value in os.environ.items() if name not in FROM_OUTSIDE},
            "FLUEWRIGHT_VAR": str(folder),
            "SITE_URL": self.url,
            "MAIL_URL": f"smtp://127.0.0.1:{post.port}",
            "MAIL_FROM": "office@stove.example",
        }

    def found(self, *, name: str, email: str, password: str) -> None:
        """Make the first owner from the command line, as a new shop does."""
        command = ["create_owner", "--name", name, "--email", email, "--password-stdin"]
        made = subprocess.run(
            self._manage(*command),
            input=f"{password}\n",
            text=True,
            capture_output=True,
            cwd=settings.BASE_DIR,
            env=self.environment,
            check=False,
        )
        assert made.returncode == 0, made.stderr

    def open(self) -> None:
        """Serve the shop and wait until its login page answers."""
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                self._manage("serve", "--bind", f"127.0.0.1:{self.port}"),
                cwd=settings.BASE_DIR,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        wait_for(self._answers, what=f"the shop at {self.url}")

    def close(self) -> None:
        """Stop the shop as Ctrl-C does and wait until everything of it is gone."""
        if self.process is None:
            return
        self.process.send_signal(signal.SIGINT)
        try:
            self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.process = None

    def let_time_pass_until_due(self, *, days_ahead: int) -> None:
        """Stand the calendar where every service falls due in so many days, a night after the last round.

        The due dates are moved in the database, and the scheduler's notebook tells that its rounds are old,
        as they are when a shop's machine was off overnight.
        """
        assert self.process is None, "The notebook is only at rest while the shop is closed."
        with sqlite3.connect(self.folder / "fluewright.sqlite3") as rows:
            moved = rows.execute(
                "UPDATE jobs_serviceschedule SET next_due_on = date('now', ?)", (f"+{days_ahead} days",)
            )
            assert moved.rowcount > 0
        rows.close()
        self.let_a_night_pass()

    def let_a_night_pass(self) -> None:
        """Set the scheduler's last rounds a night back."""
        with shelve.open(str(self.folder / "scheduler"), writeback=True) as notebook:
            for entry in notebook["entries"].values():
                entry.last_run_at -= timedelta(hours=12)

    def another_round_of_reminders(self) -> None:
        """Do what a scheduler would do that rings once too often, and wait until it is done."""
        command = "from jobs.tasks import queue_due_reminders; queue_due_reminders()"
        done = subprocess.run(
            self._manage("shell", "--no-imports", "--command", command),
            capture_output=True,
            text=True,
            cwd=settings.BASE_DIR,
            env=self.environment,
            check=False,
        )
        assert done.returncode == 0, done.stderr

    def mail_to(self, address: str, subject: str) -> list[Received]:
        """Return the mails the mail server took for somebody about something."""
        return [
            mail
            for mail in self.post.received
            if mail.to == [address] and subject in str(mail.message["Subject"])
        ]

    def complaints(self) -> list[str]:
        """Return the lines of trouble in everything the shop's processes said."""
        words = ("ERROR", "CRITICAL", "Traceback")
        return [line for line in self.log.read_text().splitlines() if any(word in line for word in words)]

    def _manage(self, *command: str) -> list[str]:
        return [sys.executable, str(settings.BASE_DIR / "manage.py"), *command]

    def _answers(self) -> bool:
        assert self.process is not None
        assert self.process.poll() is None, self.log.read_text()
        try:
            with urllib.request.urlopen(f"{self.url}/account/login/", timeout=10):
                return True
        except urllib.error.HTTPError:
            raise
        except OSError:
            return False
