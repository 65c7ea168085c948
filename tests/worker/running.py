"""A shop with a database and a broker of its own, in which real workers and schedulers run."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import dj_database_url
import kombu.pools
from django.conf import settings
from django.db import connections
from django.db.utils import load_backend

from config import celery_app
from config.supervisor import procfile_read
from jobs.models import Heartbeat

PATIENCE = 60.0


def wait_until(happened: Callable[[], Any], *, what: str, patience: float = PATIENCE) -> Any:
    """Wait until something is true and return it."""
    end = time.monotonic() + patience
    while time.monotonic() < end:
        if found := happened():
            return found
        time.sleep(0.1)
    raise AssertionError(f"Waited {patience:.0f} s in vain: {what}")


@dataclass
class RunningShop:
    """Database, broker and processes of one shop."""

    folder: Path
    database_url: str
    redis_url: str
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)
    environment: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        self.environment = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "FLUEWRIGHT_VAR": str(self.folder),
            "DATABASE_URL": self.database_url,
            "REDIS_URL": self.redis_url,
            "SITE_URL": "http://127.0.0.1:8119",
            "PATH": os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"])),
        }

    @contextmanager
    def visited(self) -> Iterator[None]:
        """Let this process read and write the shop's rows and ring its bells."""
        with self._rows(), self._bells():
            yield

    @contextmanager
    def _rows(self) -> Iterator[None]:
        if self.database_url:
            told: Any = dj_database_url.parse(self.database_url)
        else:
            told = {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": str(self.folder / "fluewright.sqlite3"),
                "OPTIONS": settings.SQLITE_OPTIONS,
            }
        told = connections.configure_settings({"default": told})["default"]
        before = connections["default"]
        connections["default"] = load_backend(told["ENGINE"]).DatabaseWrapper(told, "default")
        try:
            yield
        finally:
            connections["default"].close()
            connections["default"] = before

    @contextmanager
    def _bells(self) -> Iterator[None]:
        before = {name: celery_app.conf[name] for name in ("broker_url", "broker_transport_options")}
        options = {} if self.redis_url else {"folder": str(self.folder / "broker")}
        celery_app.conf.update(
            broker_url=self.redis_url or "folder://localhost", broker_transport_options=options
        )
        forget_broker()
        try:
            yield
        finally:
            forget_broker()
            celery_app.conf.update(before)

    def start(self, name: str) -> subprocess.Popen[bytes]:
        """Start a process just as the Procfile says."""
        command = procfile_read(settings.BASE_DIR / "Procfile")[name]
        with self.log(name).open("ab") as log:
            process = subprocess.Popen(
                f"exec {command}",
                shell=True,
                cwd=settings.BASE_DIR,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self.processes.append(process)
        return process

    def start_worker(self) -> subprocess.Popen[bytes]:
        """Start a worker and wait for its first sign of life."""
        Heartbeat.objects.all().delete()
        process = self.start("worker")
        wait_until(Heartbeat.objects.filter(name="worker").exists, what="a worker's heartbeat")
        return process

    def log(self, name: str) -> Path:
        """Return where a process writes."""
        return self.folder / f"{name}.log"

    def stop(self) -> None:
        """Kill what still runs."""
        for process in self.processes:
            if process.poll() is None:
                kill_at_once(process)


def kill_at_once(process: subprocess.Popen[bytes]) -> None:
    """Kill -9 a process and its children, as a power cut would."""
    os.killpg(process.pid, signal.SIGKILL)
    process.wait(PATIENCE)


def forget_broker() -> None:
    """Close the connections to the last broker."""
    celery_app.__dict__["_pool"] = None
    celery_app.amqp._producer_pool = None
    kombu.pools.reset()
