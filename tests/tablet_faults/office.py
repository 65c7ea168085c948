"""The office's server as a process of its own, on the rows a test has made."""

from __future__ import annotations

import subprocess
import sys
import time
import urllib.error
import urllib.request
from http import HTTPStatus

from django.conf import settings
from django.core.management import call_command

from tests.jobs.other_processes import Shop
from tests.servers import free_port

PATIENCE = 60.0


class Office:
    """A web server with the shop's own settings for one."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = shop.folder.parent / "office.log"
        self._process: subprocess.Popen[bytes] | None = None

    def open(self) -> None:
        """Hand the rows over, serve them and wait until somebody answers."""
        call_command("createcachetable", "cache", verbosity=0)
        self.shop.hand_out()
        environment = {
            **self.shop.environment,
            "SITE_URL": self.url,
            # The test signed its people in; the server must know the sessions for its own.
            "SECRET_KEY": settings.SECRET_KEY,
        }
        manage = [sys.executable, "manage.py", "collectstatic", "--no-input", "--verbosity=0"]
        subprocess.run(manage, cwd=settings.BASE_DIR, env=environment, check=True)
        serve = [sys.executable, "-m", "gunicorn", "config.wsgi", "--bind", f"127.0.0.1:{self.port}"]
        crew = ["--worker-class", "gthread", "--workers", "2", "--threads", "4", "--no-control-socket"]
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                [*serve, *crew],
                cwd=settings.BASE_DIR, env=environment, stdin=subprocess.DEVNULL, stdout=log, stderr=log,
            )  # fmt: skip
        end = time.monotonic() + PATIENCE
        while not self._answers():
            assert time.monotonic() < end, self.log.read_text()
            time.sleep(0.1)

    def close(self) -> None:
        """Stop serving."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(PATIENCE)
            self._process = None

    def take_back(self) -> None:
        """Let the test see what the server has written."""
        self.shop.take_back()

    def _answers(self) -> bool:
        assert self._process is not None
        assert self._process.poll() is None, self.log.read_text()
        try:
            urllib.request.urlopen(f"{self.url}/tablet/api/me", timeout=10).close()
        except urllib.error.HTTPError as error:
            return error.code == HTTPStatus.UNAUTHORIZED
        except OSError:
            return False
        return True
