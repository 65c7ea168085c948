"""A time-stamp server on loopback: OpenSSL answers (RFC 3161), this file only carries the bytes."""

from __future__ import annotations

import http.server
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

CONFIG = """
[tsa]
default_tsa = one
[one]
serial = {folder}/serial
default_policy = 1.3.6.1.4.1.99999.1
digests = sha256
signer_digest = sha256
ess_cert_id_alg = sha256
ordering = no
tsa_name = yes
[usage]
extendedKeyUsage = critical, timeStamping
keyUsage = critical, digitalSignature
[req]
distinguished_name = name
[name]
"""


class StampServer:
    """Where it listens, and how it answers: changed by a test that wants it to misbehave."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.asked = 0
        self.url = ""
        self.answer: Callable[[bytes], bytes] = self.stamp
        (folder / "serial").write_text("01\n")
        (folder / "tsa.cnf").write_text(CONFIG.format(folder=folder))
        self._openssl(
            "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "30", "-subj", "/CN=Loopback stamps",
            "-config", "tsa.cnf", "-extensions", "usage", "-keyout", "key.pem", "-out", "cert.pem",
        )  # fmt: skip

    def stamp(self, query: bytes) -> bytes:
        """Return the answer OpenSSL gives to a query."""
        (self.folder / "query").write_bytes(query)
        self._openssl(
            "ts", "-reply", "-config", "tsa.cnf", "-queryfile", "query", "-signer", "cert.pem",
            "-inkey", "key.pem", "-out", "reply",
        )  # fmt: skip
        return (self.folder / "reply").read_bytes()

    def _openssl(self, *told: str) -> None:
        subprocess.run(["openssl", *told], cwd=self.folder, check=True, capture_output=True)


@contextmanager
def stamp_server(folder: Path) -> Iterator[StampServer]:
    """Run a server on a port of its own."""
    server = StampServer(folder)

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            server.asked += 1
            body = server.answer(self.rfile.read(int(self.headers["Content-Length"])))
            self.send_response(200 if body else 503)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *told: object) -> None:
            """Say nothing."""

    listening = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=listening.serve_forever)
    thread.start()
    server.url = f"http://127.0.0.1:{listening.server_port}/tsa"
    try:
        yield server
    finally:
        listening.shutdown()
        thread.join()
        listening.server_close()
