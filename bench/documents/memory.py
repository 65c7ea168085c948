"""Memory of a worker process over many certificates."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings

from bench.agreement import DisagreementError
from bench.documents.closed import Closed
from config.supervisor import procfile_read
from jobs.models import Document

MARKS, QUICK = (1, 20, 50, 100, 150, 200), (1, 3, 6)
#: A worker is settled from here on; what it grows by afterwards is what leaks.
SETTLED = 50
PATIENCE = 120.0


def report(closed: Closed, *, quick: bool) -> Iterator[str]:
    """Yield the memory of the process that makes the papers after so many of them."""
    marks = QUICK if quick else MARKS
    told: list[tuple[int, float]] = []
    pks = [closed.ask().pk for _ in range(marks[-1])]
    with _worker() as child:
        for mark in marks:
            _wait(pks, mark)
            told.append((mark, _resident(child())))
    yield f"A worker process after so many certificates, resident memory in MB ({marks[-1]} by one process):"
    yield "".join(f"{mark:>8}" for mark, _ in told)
    yield "".join(f"{size:>8.1f}" for _, size in told)
    settled = [one for one in told if one[0] >= SETTLED]
    if len(settled) > 1:
        (first, low), (last, high) = settled[0], settled[-1]
        grown = (high - low) / (last - first) * 1000
        yield f"From {first} to {last} it grows by {grown:.0f} kB a certificate."


@contextmanager
def _worker() -> Iterator:  # type: ignore[type-arg]
    """Run the Procfile's worker with one process for the papers; give what finds that process."""
    command = procfile_read(settings.BASE_DIR / "Procfile")["worker"]
    with (settings.VAR_DIR / "worker.log").open("ab") as out:
        process = subprocess.Popen(  # noqa: S603
            ["/bin/sh", "-c", f"exec {Path(sys.executable).parent}/{command} --concurrency 1"],
            cwd=settings.BASE_DIR, env=dict(os.environ), stdin=subprocess.DEVNULL, stdout=out, stderr=out,
            start_new_session=True,
        )  # fmt: skip
    seen: set[int] = set()

    def child() -> int:
        seen.update(_children(process.pid))
        if len(seen) != 1:
            raise DisagreementError(f"{len(seen)} processes made the papers: one was replaced, or none came")
        return next(iter(seen))

    try:
        yield child
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(30)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def _wait(pks: list[int], mark: int) -> None:
    """Wait until so many are made, as long as another comes in time."""
    done, end = -1, time.monotonic() + PATIENCE
    while done < mark:
        made = Document.objects.filter(pk__in=pks, done_at__isnull=False).count()
        if made > done:
            done, end = made, time.monotonic() + PATIENCE
        if time.monotonic() > end:
            raise DisagreementError(f"the worker made {done} of {len(pks)} certificates and no more")
        time.sleep(0.1)


def _children(parent: int) -> list[int]:
    told = Path(f"/proc/{parent}/task/{parent}/children").read_text()
    return [int(one) for one in told.split()]


def _resident(process: int) -> float:
    told = Path(f"/proc/{process}/status").read_text()
    line = next(one for one in told.splitlines() if one.startswith("VmRSS:"))
    return int(line.split()[1]) / 1000
