"""Makes a shop ready to serve and serves it."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.core.checks import run_checks
from django.core.management import CommandError, call_command

from config.supervisor import Supervisor, procfile_read

LOG_LIMIT = 5_000_000


def address_split(bind: str) -> tuple[str, int]:
    """Return host and port of `host:port`."""
    host, _, port = bind.rpartition(":")
    if not host or not port.isdecimal() or not 1 <= int(port) <= 65535:
        raise CommandError(f"{bind} is no address to listen on; write for example 127.0.0.1:8000.")
    return host.strip("[]"), int(port)


def refuse_taken_port(bind: str) -> None:
    """Say so when somebody already listens on an address, or it is not this machine's."""
    host, port = address_split(bind)
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise CommandError(
                f"Port {port} on {host} cannot be used ({error.strerror})."
                " Stop what uses it, or choose another port."
            ) from error


def make_ready() -> None:
    """Bring database, cache table and served files up to date; stop at any failed check."""
    call_command("migrate", verbosity=0, interactive=False)
    call_command("createcachetable", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)
    if failed := [str(message) for message in run_checks(databases=["default"]) if message.is_serious()]:
        raise CommandError("\n".join(failed))


def serve(*, bind: str, logs: Path | None = None, each_turn: Callable[[], None] = lambda: None) -> None:
    """Run web, worker and scheduler until a stop is asked for."""
    if logs:
        logs.mkdir(parents=True, exist_ok=True)
        for log in logs.glob("*.log"):
            if log.stat().st_size > LOG_LIMIT:
                log.replace(log.with_suffix(".old"))
    environment = {
        **os.environ,
        "BIND": bind,
        "PATH": os.pathsep.join((str(Path(sys.executable).parent), os.environ.get("PATH", os.defpath))),
        "PYTHONUNBUFFERED": "1",
    }
    commands = procfile_read(settings.BASE_DIR / "Procfile")
    ended = Supervisor(commands, environment=environment, folder=settings.BASE_DIR).run(
        logs=logs, each_turn=each_turn
    )
    if ended:
        raise CommandError(f"The {ended} process ended by itself{last_words(logs, ended)}")


def last_words(logs: Path | None, name: str) -> str:
    """Return the end of a process's log, if there is one."""
    if not logs:
        return "; see above."
    lines = (logs / f"{name}.log").read_text(errors="replace").splitlines()[-15:]
    return f". The end of {logs / name}.log:\n" + "\n".join(lines)
