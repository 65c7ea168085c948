"""Runs code in real processes of its own on the tests' rows, so that they can be killed or race each other.

PostgreSQL is shared as it is. SQLite's test database lives in memory: it is copied into a file for the other
processes and back again for the test to look at.
"""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from urllib.parse import quote

from django.core.management import call_command
from django.db import connection

ROOT = Path(__file__).resolve().parents[2]
START = """
import os, sys
from datetime import timedelta
import django
django.setup()
from django.utils import timezone
"""


class Shop:
    """One database, and processes that work on it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.environment = {
            **{name: value for name, value in os.environ.items() if not name.startswith("COV_")},
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "FLUEWRIGHT_VAR": str(folder),
            "PYTHONPATH": str(ROOT),
            "REDIS_URL": "",
            "DATABASE_URL": _postgres_url(),
            "MAIL_FROM": "office@shop.example",
        }
        folder.mkdir(parents=True, exist_ok=True)
        self._started: list[subprocess.Popen[str]] = []

    def hand_out(self) -> None:
        """Let the other processes see what the test has written."""
        if connection.vendor == "sqlite":
            connection.ensure_connection()
            with closing(sqlite3.connect(self._file)) as copy:
                connection.connection.backup(copy)
                # As in a shop, where one process migrates before the others start: SQLite does not wait
                # when two connections turn a file to write-ahead logging at once, whatever its timeout.
                copy.execute("PRAGMA journal_mode=WAL")
        else:
            # The tests' own cache may be elsewhere; these processes keep theirs in the database, as every
            # shop without Redis, and begin with none of what another test's processes counted.
            call_command("createcachetable", "cache", verbosity=0)
            with connection.cursor() as cursor:
                cursor.execute("DELETE FROM cache")

    def take_back(self) -> None:
        """Let the test see what the other processes have written."""
        if connection.vendor == "sqlite":
            with closing(sqlite3.connect(self._file)) as copy:
                copy.execute("PRAGMA journal_mode=DELETE")
                copy.backup(connection.connection)

    def start(self, code: str, **environment: str) -> subprocess.Popen[str]:
        """Start a process that runs the code after Django is set up."""
        process = subprocess.Popen(
            [sys.executable, "-c", START + code],
            env={**self.environment, **environment},
            cwd=self.folder,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self._started.append(process)
        return process

    def end(self) -> None:
        """Kill what still runs of the processes started here, and close their pipes."""
        for process in self._started:
            if process.poll() is None:
                kill(process)
            for pipe in (process.stdin, process.stdout, process.stderr):
                if pipe is not None:
                    pipe.close()

    def run(self, code: str, **environment: str) -> str:
        """Run a process to its end and return what it printed."""
        process = self.start(code, **environment)
        out, err = process.communicate(timeout=60)
        assert process.returncode == 0, err
        return out

    def run_until_killed(self, code: str, **environment: str) -> None:
        """Run a process that kills itself with SIGKILL at the point under test."""
        process = self.start(code, **environment)
        _, err = process.communicate(timeout=60)
        assert process.returncode == -signal.SIGKILL, err

    @property
    def _file(self) -> Path:
        return self.folder / "fluewright.sqlite3"


def await_ready(process: subprocess.Popen[str], word: str = "ready") -> None:
    """Wait until a process says the word; one that dies before is quoted."""
    assert process.stdout is not None
    assert process.stderr is not None
    said = process.stdout.readline()
    assert said == f"{word}\n", said + process.stderr.read()


def kill(process: subprocess.Popen[str]) -> None:
    """Kill -9 and clean up after a process."""
    process.kill()
    process.communicate(timeout=20)


def _postgres_url() -> str:
    if connection.vendor != "postgresql":
        return ""
    told = connection.settings_dict
    login = f"{quote(told['USER'] or '')}:{quote(told['PASSWORD'] or '')}@" if told["USER"] else ""
    return f"postgres://{login}{quote(told['HOST'] or '', safe='')}:{told['PORT'] or 5432}/{told['NAME']}"
