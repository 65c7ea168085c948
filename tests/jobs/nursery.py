"""Processes forked off one that has loaded everything, so that a hundred of them can be killed in seconds.

Forking is sound because the mother has one thread, which she makes sure of each time, and no connection.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from tests.jobs.other_processes import Shop, await_ready


@dataclass(frozen=True)
class Ended:
    """How a process ended, and what it had said."""

    status: int
    said: str

    @property
    def killed(self) -> bool:
        """Whether SIGKILL ended it."""
        return self.status == -signal.SIGKILL


class Nursery:
    """A mother process of one shop."""

    def __init__(self, shop: Shop, prelude: str) -> None:
        self.shop = shop
        self.media = shop.folder / "media"
        self._mother = shop.start(
            f"from tests.jobs.nursery import serve\nserve({prelude!r})",
            MEDIA_DIR=str(self.media),
            # A library of numbers that starts a thread for each core would keep the mother from forking.
            OPENBLAS_NUM_THREADS="1",
            OMP_NUM_THREADS="1",
        )
        await_ready(self._mother)

    def run(self, *codes: str) -> list[Ended]:
        """Fork a process for each code, let all go at once, and wait until every one has ended.

        What the test has written is handed out before and what they wrote is taken back afterwards.
        """
        assert self._mother.stdin is not None
        assert self._mother.stdout is not None
        assert self._mother.stderr is not None
        self.shop.hand_out()
        self._mother.stdin.write(f"{json.dumps(codes)}\n")
        self._mother.stdin.flush()
        told = self._mother.stdout.readline()
        assert told, self._mother.stderr.read()
        self.shop.take_back()
        return [Ended(*one) for one in json.loads(told)]

    def run_one(self, code: str) -> str:
        """Run one to its end and return what it said."""
        (ended,) = self.run(code)
        assert ended.status == 0, ended.said
        return ended.said


def die(*given: Any, **told: Any) -> NoReturn:
    """Kill this very process, as a power cut does."""
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("still alive")


def dying(owner: Any, name: str, side: str) -> None:
    """Have the process killed when it is about to call a function ("before"), or when it has ("after")."""
    call = getattr(owner, name)

    def called(*given: Any, **told: Any) -> None:
        if side == "after":
            call(*given, **told)
        die()

    setattr(owner, name, called)


def serve(prelude: str) -> None:
    """Load everything, then fork off whatever is asked for, a line of JSON at a time."""
    space: dict[str, Any] = {"die": die, "dying": dying}
    exec(prelude, space)
    _say("ready")
    for line in sys.stdin:
        assert _alone(), "a mother with threads must not fork"
        codes = json.loads(line)
        gate, opens = os.pipe()
        children = [_fork(code, space, gate, opens) for code in codes]
        os.close(gate)
        os.close(opens)
        _say(json.dumps([_ended(pid, said) for pid, said in children]))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _alone() -> bool:
    tasks = Path("/proc/self/task")
    return threading.active_count() == 1 and (not tasks.exists() or len(list(tasks.iterdir())) == 1)


def _fork(code: str, space: dict[str, Any], gate: int, opens: int) -> tuple[int, int]:
    hears, says = os.pipe()
    pid = os.fork()
    if pid:
        os.close(says)
        return pid, hears
    status = 1
    try:
        os.close(opens)
        for stream in (1, 2):
            os.dup2(says, stream)
        # Ends when the mother has forked them all and shuts her side.
        os.read(gate, 1)
        exec(code, dict(space))
        status = 0
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def _ended(pid: int, hears: int) -> tuple[int, str]:
    with os.fdopen(hears, "rb") as pipe:
        said = pipe.read().decode()
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), said
