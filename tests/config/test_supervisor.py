"""The supervisor ends everything it started, whatever happens."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from config.supervisor import Supervisor, procfile_read

ROOT = Path(__file__).resolve().parents[2]
RUN = """
import os, sys
from pathlib import Path
from config.supervisor import Supervisor
commands = dict(argument.split("=", 1) for argument in sys.argv[1:])
print(Supervisor(commands, environment=dict(os.environ), folder=Path.cwd()).run(), flush=True)
"""
#: A process with a child of its own, that tells both numbers and then waits.
FAMILY = """sh -c 'sleep 300 & echo $$ $! > family; trap "kill $!; exit" TERM; wait'"""
STUBBORN = """sh -c 'trap "" TERM; sleep 300 & echo $$ $! > family; while true; do wait; sleep 1; done'"""


def supervised(folder: Path, **commands: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", RUN, *(f"{name}={command}" for name, command in commands.items())],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
    )


def family(folder: Path) -> list[int]:
    end = time.monotonic() + 20
    while time.monotonic() < end:
        path = folder / "family"
        if path.exists() and len(path.read_text().split()) == 2:
            return [int(pid) for pid in path.read_text().split()]
        time.sleep(0.05)
    raise AssertionError("The process did not start.")


def is_alive(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


def all_gone(pids: list[int], patience: float = 10) -> bool:
    end = time.monotonic() + patience
    while any(is_alive(pid) for pid in pids) and time.monotonic() < end:
        time.sleep(0.05)
    return not any(is_alive(pid) for pid in pids)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_nothing_is_left_when_it_is_told_to_stop(number, tmp_path):
    supervisor = supervised(tmp_path, web=FAMILY, worker="sleep 300")
    pids = family(tmp_path)
    supervisor.send_signal(number)
    assert supervisor.communicate(timeout=30)[0] == "None\n"
    assert all_gone(pids)


def test_nothing_is_left_when_it_is_killed_itself(tmp_path):
    supervisor = supervised(tmp_path, web=FAMILY)
    pids = family(tmp_path)
    supervisor.kill()
    supervisor.communicate(timeout=30)
    assert all_gone(pids)


def test_all_end_when_one_ends_and_it_says_which(tmp_path):
    supervisor = supervised(tmp_path, web=FAMILY, worker="sleep 1")
    pids = family(tmp_path)
    assert supervisor.communicate(timeout=30)[0] == "worker\n"
    assert all_gone(pids)


def test_a_second_stop_kills_who_does_not_listen(tmp_path):
    supervisor = supervised(tmp_path, web=STUBBORN)
    pids = family(tmp_path)
    supervisor.send_signal(signal.SIGINT)
    time.sleep(1)
    assert supervisor.poll() is None
    supervisor.send_signal(signal.SIGINT)
    supervisor.communicate(timeout=5)
    assert all_gone(pids)


def test_who_does_not_stop_in_time_is_killed(tmp_path, monkeypatch):
    monkeypatch.setattr("config.supervisor.PATIENCE", 0.5)
    supervisor = Supervisor({"web": STUBBORN}, environment=dict(os.environ), folder=tmp_path)
    supervisor.start()
    pids = family(tmp_path)
    supervisor.stop()
    assert all_gone(pids)


def test_each_process_writes_a_log_of_its_own(tmp_path):
    supervisor = Supervisor(
        {"web": "echo hello", "worker": "echo there"}, environment=dict(os.environ), folder=tmp_path
    )
    supervisor.start(logs=tmp_path)
    for process in supervisor.running.values():
        process.wait(10)
    assert [(tmp_path / f"{name}.log").read_text() for name in ("web", "worker")] == ["hello\n", "there\n"]


def test_the_procfile_names_web_worker_and_scheduler():
    assert set(procfile_read(ROOT / "Procfile")) == {"web", "worker", "scheduler"}
