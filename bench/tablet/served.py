"""The web server as a shop runs it, and tablets that send to it."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from django.conf import settings
from django.test import Client

from config.supervisor import procfile_read
from jobs.models import Job, User

PATIENCE = 60.0


class SendingError(Exception):
    """The server did not take what a tablet sent."""


@contextmanager
def web_server(port: int) -> Iterator[None]:
    """Run the Procfile's web process."""
    command = procfile_read(settings.BASE_DIR / "Procfile")["web"]
    log = settings.VAR_DIR / "web.log"
    with log.open("ab") as out:
        process = subprocess.Popen(  # noqa: S603
            ["/bin/sh", "-c", f"exec {Path(sys.executable).parent}/{command}"],
            cwd=settings.BASE_DIR, env={**os.environ, "BIND": f"127.0.0.1:{port}"}, stdin=subprocess.DEVNULL,
            stdout=out, stderr=out, start_new_session=True,
        )  # fmt: skip
    try:
        end = time.monotonic() + PATIENCE
        while not _listens(port):
            if process.poll() is not None or time.monotonic() > end:
                raise SendingError(f"The web server did not start:\n{log.read_text()}")
            time.sleep(0.05)
        yield
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def _listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def headers_of(user: User) -> dict[str, str]:
    """Return what a tablet says of itself with every request."""
    return {
        "Fluewright-Person": str(user.pk),
        "Fluewright-Device": str(uuid.uuid4()),
        "Fluewright-Clock": datetime.now(UTC).isoformat(),
        "Fluewright-App": "bench",
    }


class Tablet:
    """One tablet with a line of its own; the session was begun before."""

    def __init__(self, user: User, port: int) -> None:
        client = Client()
        client.force_login(user, backend="allauth.account.auth_backends.AuthenticationBackend")
        self.line = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        self.headers = {**headers_of(user), "Cookie": f"sessionid={client.cookies['sessionid'].value}"}
        self.line.request("GET", "/tablet/api/me", headers=self.headers)
        answer = self.line.getresponse()
        told = answer.read()
        token = (answer.headers["Set-Cookie"] or "").partition("csrftoken=")[2].partition(";")[0]
        if not token:
            raise SendingError(f"No token came from the server: {answer.status} {told[:300]!r}")
        self.headers["Cookie"] += f"; csrftoken={token}"
        self.headers |= {"X-CSRFToken": token, "Content-Type": "application/json"}

    def sends(self, job: Job, entries: list[dict[str, Any]]) -> None:
        """Send a batch; every entry has to be accepted."""
        body = json.dumps({"entries": entries})
        self.line.request("POST", f"/tablet/api/jobs/{job.pk}/entries", body=body, headers=self.headers)
        answer = self.line.getresponse()
        told = answer.read()
        check_accepted(answer.status, told, len(entries))

    def dial(self) -> None:
        """Begin a new line: the server hangs up on one that was silent for a while."""
        self.close()
        self.line.connect()

    def close(self) -> None:
        """Hang up."""
        self.line.close()


def check_accepted(status: int, told: bytes, count: int) -> None:
    """Raise unless the server accepted so many entries."""
    if status == 200:
        outcomes = [one["outcome"] for one in json.loads(told)["results"]]
        if outcomes == ["accepted"] * count:
            return
    raise SendingError(f"{count} entries were not all accepted: {status} {told[:600]!r}")


Sending = Iterable[tuple[Job, list[dict[str, Any]]]]


def sent_together(tablets: list[Tablet], loads: list[Sending]) -> float:
    """Let each tablet send its load, all at once; the time until the last is through [s]."""
    gate = threading.Barrier(len(tablets) + 1)
    failures: list[Exception] = []

    def send(tablet: Tablet, load: Sending) -> None:
        gate.wait()
        try:
            for job, entries in load:
                tablet.sends(job, entries)
        except Exception as error:
            failures.append(error)

    threads = [
        threading.Thread(target=send, args=(tablet, list(load)))
        for tablet, load in zip(tablets, loads, strict=True)
    ]
    for tablet in tablets:
        tablet.dial()
    for thread in threads:
        thread.start()
    gate.wait()
    begun = time.perf_counter()
    for thread in threads:
        thread.join()
    seconds = time.perf_counter() - begun
    if failures:
        raise failures[0]
    return seconds
