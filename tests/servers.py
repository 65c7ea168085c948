"""Real PostgreSQL and Redis servers on loopback, private to one run and gone after it.

Run as a program it starts both, runs a command with DATABASE_URL and REDIS_URL set, and stops them.
"""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psycopg
import redis

PATIENCE = 60


class MissingServerError(RuntimeError):
    """A server program is not on this machine."""


def free_port() -> int:
    """Return a port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Server:
    """One server process with a folder of its own."""

    stop_signal = signal.SIGINT

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="fluewright-test-"))
        self.port = free_port()
        self.log = self.folder / "log"
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """The server's address."""
        raise NotImplementedError

    def start(self) -> Server:
        """Start the server."""
        raise NotImplementedError

    def answers(self) -> bool:
        """Whether the server takes commands."""
        raise NotImplementedError

    def launch(self, command: list[str | Path]) -> None:
        """Start the process and wait until it answers; show its log when it does not."""
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                command,
                stdout=log,
                stderr=log,
                stdin=subprocess.DEVNULL,
                cwd=self.folder,
                start_new_session=True,
            )
        end = time.monotonic() + PATIENCE
        while not self.answers():
            if time.monotonic() > end or self.process.poll() is not None:
                raise RuntimeError(f"{command[0]} did not answer:\n{self.log.read_text()}")
            time.sleep(0.05)

    def stop(self) -> None:
        """Stop the process and throw its folder away."""
        if self.process is not None:
            os.killpg(self.process.pid, self.stop_signal)
            self.process.wait(PATIENCE)
        shutil.rmtree(self.folder, ignore_errors=True)


class Redis(Server):
    """A Redis that keeps nothing."""

    def start(self) -> Redis:
        program = shutil.which("redis-server")
        if program is None:
            raise MissingServerError("There is no redis-server; on Debian: sudo apt-get install redis-server")
        self.launch(
            [program, "--port", str(self.port), "--bind", "127.0.0.1", "--save", "", "--appendonly", "no"]
        )
        return self

    def answers(self) -> bool:
        try:
            with redis.Redis.from_url(self.url) as client:
                return bool(client.ping())
        except redis.ConnectionError:
            return False

    def empty(self) -> None:
        """Throw everything away."""
        with redis.Redis.from_url(self.url) as client:
            client.flushall()

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"


class Postgres(Server):
    """A PostgreSQL cluster; run as the system's postgres user where the tests run as root, as it demands."""

    #: Stops without writing everything down first; the cluster is thrown away anyhow.
    stop_signal = signal.SIGQUIT
    #: Rows of a test need not outlive the machine.
    options = {"fsync": "off", "max_connections": "60"}

    def start(self) -> Postgres:
        programs = postgres_programs()
        data = self.folder / "data"
        as_other: list[str | Path] = []
        if os.geteuid() == 0:
            try:
                other = pwd.getpwnam("postgres")
            except KeyError as error:
                raise MissingServerError("PostgreSQL does not run as root; make a user postgres.") from error
            shutil.chown(self.folder, other.pw_uid, other.pw_gid)
            as_other = ["runuser", "-u", "postgres", "--"]
        made = subprocess.run(
            [*as_other, programs / "initdb", "--pgdata", data, "--username", "shop", "--auth", "trust",
             "--encoding", "UTF8", "--locale", "C.UTF-8", "--no-sync"],
            capture_output=True, text=True, cwd=self.folder, check=False,
        )  # fmt: skip
        if made.returncode:
            raise RuntimeError(made.stderr)
        self.launch(
            [*as_other, programs / "postgres", "-D", data, "-p", str(self.port), "-h", "127.0.0.1",
             "-k", self.folder, *(f"--{name}={value}" for name, value in self.options.items())]
        )  # fmt: skip
        return self

    def answers(self) -> bool:
        try:
            with psycopg.connect(self.url):
                return True
        except psycopg.OperationalError:
            return False

    @property
    def url(self) -> str:
        return self.database("postgres")

    def database(self, name: str) -> str:
        """Return the address of one database."""
        return f"postgres://shop@127.0.0.1:{self.port}/{name}"


def postgres_programs() -> Path:
    """Return the folder of the newest PostgreSQL."""
    candidates = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: float(path.parts[-3]), reverse=True
    )
    found = shutil.which("initdb")
    if found:
        candidates.append(Path(found))
    if not candidates:
        raise MissingServerError("There is no PostgreSQL; on Debian: sudo apt-get install postgresql")
    return candidates[0].resolve().parent


def main(command: list[str]) -> int:
    """Run a command with both servers and return its exit status."""
    servers: list[Server] = []
    try:
        servers += [Redis(), Postgres()]
        for server in servers:
            server.start()
        environment = {**os.environ, "REDIS_URL": servers[0].url, "DATABASE_URL": servers[1].url}
        return subprocess.run(command, env=environment, check=False).returncode
    except MissingServerError as missing:
        sys.stderr.write(f"{missing}\n")
        return 1
    finally:
        for server in servers:
            server.stop()


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(143))
    sys.exit(main(sys.argv[1:]))
