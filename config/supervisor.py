"""Runs the processes of the Procfile together: all start, and when one ends or a stop is asked for, all end.

Only the process itself is asked to stop, never its whole group: a worker then lets its children finish what
they hold. Who does not stop in time is killed with its group.
"""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
PATIENCE = 20.0
#: prctl's option that sends a signal to a child whose parent dies; a constant of Linux.
PR_SET_PDEATHSIG = 1


def procfile_read(path: Path) -> dict[str, str]:
    """Return the commands of a Procfile by name."""
    lines = (line.partition(":") for line in path.read_text().splitlines() if line.strip())
    return {name.strip(): command.strip() for name, _, command in lines}


def follow_parent() -> Callable[[], object] | None:
    """Return what a child does first so that it ends when the supervisor is killed; Linux only."""
    if sys.platform != "linux":
        return None
    libc = ctypes.CDLL(None)
    return lambda: libc.prctl(PR_SET_PDEATHSIG, signal.SIGTERM)


class Supervisor:
    """Starts, watches and stops a handful of processes."""

    def __init__(self, commands: dict[str, str], *, environment: dict[str, str], folder: Path) -> None:
        self.commands = commands
        self.environment = environment
        self.folder = folder
        self.running: dict[str, subprocess.Popen[bytes]] = {}
        self.stops_asked = 0

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Count the stop signals instead of dying from them."""
        before = {number: signal.signal(number, self._ask_to_stop) for number in STOP_SIGNALS}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)

    def _ask_to_stop(self, number: int, frame: FrameType | None) -> None:
        self.stops_asked += 1

    def run(self, *, logs: Path | None = None, each_turn: Callable[[], None] = lambda: None) -> str | None:
        """Run until a stop is asked for; the name of a process that ended by itself, or None."""
        with self.listening():
            try:
                self.start(logs=logs)
                while not self.stops_asked:
                    if ended := self.ended():
                        return ended
                    each_turn()
                    time.sleep(0.2)
                return None
            finally:
                self.stop()

    def start(self, *, logs: Path | None = None) -> None:
        """Start every process in a session of its own; with a folder for logs, each writes one of its own."""
        for name, command in self.commands.items():
            log = (logs / f"{name}.log").open("ab") if logs else None
            self.running[name] = subprocess.Popen(  # noqa: S602  (the Procfile's own words)
                f"exec {command}",
                shell=True,
                env=self.environment,
                cwd=self.folder,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
                preexec_fn=follow_parent(),  # noqa: PLW1509  (one thread only)
            )
            if log:
                log.close()

    def ended(self) -> str | None:
        """Return the name of a process that is no longer there."""
        return next((name for name, process in self.running.items() if process.poll() is not None), None)

    def stop(self) -> None:
        """Ask every process to stop; kill those that do not, or all when a stop is asked for again."""
        for process in self.running.values():
            if process.poll() is None:
                process.terminate()
        already_asked = self.stops_asked
        patience = time.monotonic() + PATIENCE
        while any(process.poll() is None for process in self.running.values()):
            if time.monotonic() > patience or self.stops_asked > max(already_asked, 1):
                break
            time.sleep(0.05)
        for process in self.running.values():
            self._kill_group(process)

    def _kill_group(self, process: subprocess.Popen[bytes]) -> None:
        try:
            os.killpg(process.pid, signal.SIGKILL)
        except ProcessLookupError:
            return
        process.wait()
