"""A shop served over https: gunicorn behind the nginx that docs/proxy/nginx.conf describes, on loopback."""

from __future__ import annotations

import http.client
import json
import os
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import time
from http.cookies import Morsel, SimpleCookie
from pathlib import Path

from django.conf import settings

from config.supervisor import procfile_read
from tests.config.documented import Certificates, commands_with, typed
from tests.servers import MissingServerError, free_port

ROOT = Path(settings.BASE_DIR)
NAME = "stoves.emberlyn.example"
PATIENCE = 60.0
EMAIL, PASSWORD = "ivo.installer@emberlyn.example", "a long enough password"
#: Makes the shop ready and puts an installer with a begun job into it; prints the job's key.
BEGIN = f"""
import django
django.setup()
from config.serving import make_ready
make_ready()
from inspections.services.records import record_begin
from tests.factories import NOW, TechnicianFactory, UserFactory
from tests.inspections.closing import job_ready_to_begin
worker = TechnicianFactory(user__name="Ivo Installer", user__email={EMAIL!r}, user__password={PASSWORD!r})
job = job_ready_to_begin(office=UserFactory(), crew=worker.crew)
record_begin(job=job, by=worker.user, now=NOW)
print(job.pk)
"""


def nginx_program() -> str:
    """Return the proxy; Debian keeps it where only root's PATH leads."""
    found = shutil.which("nginx", path=os.pathsep.join((os.environ.get("PATH", os.defpath), "/usr/sbin")))
    if found is None:
        raise MissingServerError("There is no nginx; on Debian: sudo apt-get install nginx")
    return found


def listens(port: int) -> bool:
    """Whether somebody listens on a port."""
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


class Process:
    """A process of its own session that is stopped as Ctrl-C would."""

    def __init__(self, command: list[str], *, port: int, log: Path, **environment: str) -> None:
        with log.open("ab") as out:
            self.running = subprocess.Popen(
                command, cwd=ROOT, env={**os.environ, **environment}, stdin=subprocess.DEVNULL, stdout=out,
                stderr=out, start_new_session=True,
            )  # fmt: skip
        end = time.monotonic() + PATIENCE
        while not listens(port):
            assert self.running.poll() is None, log.read_text()
            assert time.monotonic() < end, log.read_text()
            time.sleep(0.05)

    def stop(self) -> None:
        """Stop it, and kill what does not."""
        self.running.send_signal(signal.SIGTERM)
        try:
            self.running.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(self.running.pid, signal.SIGKILL)
            self.running.wait()


class Proxy:
    """nginx with the documented file, read by Debian's own nginx.conf."""

    def __init__(self, folder: Path, certificates: Certificates, *, behind: int) -> None:
        self.folder = folder
        self.open, self.sealed = free_port(), free_port()
        self.proofs = folder / "acme"
        for place in ("log", "bodies", "acme", "nginx/sites-available", "nginx/sites-enabled"):
            (folder / place).mkdir(parents=True)
        commands = "\n".join(
            line
            for line in commands_with("sites-enabled").splitlines()
            if not line.startswith(("apt", "nginx"))
        )
        typed(commands, folder=ROOT, instead={"/etc/nginx": str(folder / "nginx"), "YOUR-NAME": NAME})
        self._replace(
            folder / "nginx" / "sites-available" / "fluewright",
            {
                "listen 80;": f"listen 127.0.0.1:{self.open};",
                "listen 443 ": f"listen 127.0.0.1:{self.sealed} ",
                "/etc/ssl/fluewright/": f"{certificates.installed}/",
                "http://127.0.0.1:8000;": f"http://127.0.0.1:{behind};",
                "/var/www/acme": str(self.proofs),
            },
        )
        main = folder / "nginx.conf"
        shutil.copyfile("/etc/nginx/nginx.conf", main)
        self._replace(
            main,
            {
                # The tests' folders are closed to anybody else.
                "user www-data;": "user root;" if os.geteuid() == 0 else "",
                "/etc/nginx/sites-enabled": str(folder / "nginx" / "sites-enabled"),
                "/run/nginx.pid": str(folder / "pid"),
                "/var/log/nginx": str(folder / "log"),
                "http {": f"http {{ client_body_temp_path {folder}/bodies; proxy_temp_path {folder}/bodies;",
            },
        )
        self.process = Process(
            [nginx_program(), "-p", str(folder), "-e", str(folder / "log" / "start"), "-c", str(main),
             "-g", "daemon off;"],
            port=self.sealed, log=folder / "log" / "said",
        )  # fmt: skip

    @staticmethod
    def _replace(file: Path, instead: dict[str, str]) -> None:
        text = file.read_text(encoding="utf-8")
        for words, others in instead.items():
            assert words in text, f"{words} is not in {file}"
            text = text.replace(words, others)
        file.write_text(text, encoding="utf-8")


class Answer:
    """What came back, with the body read."""

    def __init__(self, response: http.client.HTTPResponse) -> None:
        self.status = response.status
        self.body = response.read()
        self.headers = response.headers
        cookies: SimpleCookie = SimpleCookie()
        for line in response.headers.get_all("Set-Cookie", []):
            cookies.load(line)
        self.cookies: dict[str, Morsel[str]] = dict(cookies)

    @property
    def text(self) -> str:
        return self.body.decode()


def _line_to(port: int) -> socket.socket:
    return socket.create_connection(("127.0.0.1", port), PATIENCE)


class Visitor:
    """A browser as far as it matters here: trusts the installed authority alone and keeps cookies."""

    def __init__(self, proxy: Proxy, authority: Path) -> None:
        self.proxy = proxy
        self.trust = ssl.create_default_context(cafile=authority)
        self.cookies: dict[str, str] = {}

    def asks(
        self, method: str, path: str, body: bytes | None = None, *, sealed: bool = True, **headers: str
    ) -> Answer:
        """Ask through the proxy; the name leads to loopback, as it does in the shop to the machine."""
        connection = http.client.HTTPConnection(NAME)
        connection.sock = self.line() if sealed else _line_to(self.proxy.open)
        told = {"Host": NAME, **{name.replace("_", "-"): value for name, value in headers.items()}}
        if self.cookies:
            told["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        if method != "GET":
            told.setdefault("Origin", f"https://{NAME}")
        try:
            connection.request(method, path, body=body, headers=told)
            answer = Answer(connection.getresponse())
        finally:
            connection.close()
        self.cookies |= {name: morsel.value for name, morsel in answer.cookies.items()}
        return answer

    def line(self) -> ssl.SSLSocket:
        """Return a sealed line, the name looked at."""
        plain = _line_to(self.proxy.sealed)
        try:
            return self.trust.wrap_socket(plain, server_hostname=NAME)
        except OSError:
            plain.close()
            raise

    def posts(self, path: str, **fields: str | bytes) -> Answer:
        """Send a form; what is bytes goes as a file. The page's token goes with it."""
        boundary = "a-line-that-stands-in-no-photo"
        parts = []
        for name, value in {"csrfmiddlewaretoken": self.cookies.get("csrftoken", ""), **fields}.items():
            file = "" if isinstance(value, str) else '; filename="camera.jpg"\r\nContent-Type: image/jpeg'
            content = value.encode() if isinstance(value, str) else value
            head = f'--{boundary}\r\nContent-Disposition: form-data; name="{name}"{file}\r\n\r\n'
            parts += [head.encode(), content, b"\r\n"]
        parts.append(f"--{boundary}--\r\n".encode())
        return self.asks(
            "POST", path, b"".join(parts), Content_Type=f"multipart/form-data; boundary={boundary}"
        )

    def signs_in(self) -> Answer:
        """Sign in as the installer."""
        self.asks("GET", "/account/login/")
        return self.posts("/account/login/", login=EMAIL, password=PASSWORD)


class ProxiedShop:
    """The shop, its proxy and its certificates."""

    def __init__(self, folder: Path) -> None:
        self.certificates = Certificates(folder / "certificates", NAME)
        self.folder = folder
        self.port = free_port()
        self.told = {
            "FLUEWRIGHT_VAR": str(folder / "var"),
            "SITE_URL": f"https://{NAME}",
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "MAIL_FROM": "office@emberlyn.example",
            **dict.fromkeys(("DATABASE_URL", "REDIS_URL", "SECRET_KEY", "MEDIA_DIR", "TRUSTED_PROXIES"), ""),
        }
        begun = subprocess.run(
            [sys.executable, "-c", BEGIN],
            cwd=ROOT, env={**os.environ, **self.told}, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert begun.returncode == 0, begun.stderr
        self.job = json.loads(begun.stdout)
        web = f"exec {Path(sys.executable).parent}/{procfile_read(ROOT / 'Procfile')['web']}"
        self.web = Process(
            ["sh", "-c", web], port=self.port, log=folder / "web", BIND=f"127.0.0.1:{self.port}", **self.told
        )
        try:
            self.proxy = Proxy(folder / "proxy", self.certificates, behind=self.port)
        except BaseException:
            self.web.stop()
            raise

    def visitor(self) -> Visitor:
        """Return somebody with no cookies yet."""
        return Visitor(self.proxy, self.certificates.authority)

    def close(self) -> None:
        """Stop everything."""
        self.proxy.process.stop()
        self.web.stop()
