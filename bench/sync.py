"""The tablet's part: a shop on SQLite and one on PostgreSQL, each in a process that knows its rows.

The calculations know nothing of Django and are timed without it; this starts it elsewhere.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.servers import MissingServerError, Postgres, free_port

ROOT = Path(__file__).parents[1]
_FROM_OUTSIDE = ("REDIS_URL", "SECRET_KEY", "MEDIA_DIR", "DEBUG", "TRUSTED_PROXIES", "MAIL_URL")


class Durable(Postgres):
    """A PostgreSQL that writes down what it commits, as a shop's does."""

    options = {**Postgres.options, "fsync": "on"}


def tablet_part(*, quick: bool) -> int:
    """Print the tablet's part; the exit status is that of the first process that failed."""
    for measure in ("rates", "requests", "start"):
        if status := measured(measure, quick=quick):
            return status
        sys.stdout.write("\n")
    server = Durable()
    try:
        server.start()
        return measured("rates", quick=quick, database=server.url)
    except MissingServerError as missing:
        sys.stdout.write(f"Nothing on PostgreSQL: {missing}\n")
        return 0
    finally:
        server.stop()


def measured(measure: str, *, quick: bool, database: str = "", part: str = "bench.tablet") -> int:
    """Print one measure of a new shop; what its process came to."""
    sys.stdout.flush()
    with tempfile.TemporaryDirectory(prefix="fluewright-bench-") as folder:
        environment = {
            **{name: value for name, value in os.environ.items() if name not in _FROM_OUTSIDE},
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "FLUEWRIGHT_VAR": folder,
            "SITE_URL": f"http://127.0.0.1:{free_port()}",
            "DATABASE_URL": database,
        }
        command = [sys.executable, "-m", part, measure, *(["--quick"] if quick else [])]
        return subprocess.run(command, cwd=ROOT, env=environment, check=False).returncode  # noqa: S603
