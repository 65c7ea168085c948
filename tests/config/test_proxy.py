"""The proxy of docs/proxy/ with the certificate of docs/tablet.md, really run: nginx, gunicorn, https."""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import json
import re
import ssl
import subprocess
import threading
import uuid
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from django.conf import settings
from PIL import Image
from playwright.sync_api import BrowserContext, expect, sync_playwright

from tests.browser.conftest import CHROMIUM_FLAGS
from tests.config.documented import INVENTED, commands_with, typed
from tests.config.proxied_shop import NAME, ROOT, ProxiedShop, Proxy, Visitor

MEGABYTE = 1024 * 1024
IP = '"subjectAltName=DNS:$NAME,IP:192.0.2.1"'
FORGED = {
    "X_Forwarded_For": "203.0.113.7",
    "X_Forwarded_Proto": "http",
    "X_Forwarded_Host": "elsewhere.example",
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Iterator[ProxiedShop]:
    shop = ProxiedShop(tmp_path_factory.mktemp("proxied"))
    yield shop
    shop.close()


@pytest.fixture
def visitor(shop) -> Visitor:
    return shop.visitor()


@pytest.fixture
def installer(visitor) -> Visitor:
    """An installer who has signed in through the proxy."""
    visitor.signs_in()
    return visitor


def photo_of(size: int) -> bytes:
    """Return a whole JPEG of exactly so many bytes; what it lacks stands in comments."""
    out = io.BytesIO()
    Image.linear_gradient("L").convert("RGB").save(out, "JPEG")
    content = out.getvalue()
    # ISO/IEC 10918-1 (from memory): a marker, then in two bytes the length of what follows, itself included.
    pieces, rest = divmod(size - len(content), 30_000)
    lengths = [*[30_000] * (pieces - 1), 30_000 + rest]
    comments = b"".join(b"\xff\xfe" + (one - 2).to_bytes(2, "big") + bytes(one - 4) for one in lengths)
    return content[:2] + comments + content[2:]


class TestCertificate:
    def test_it_stands_for_the_shop_and_the_document_says_what_is_printed(self, shop):
        assert shop.certificates.said == "stoves.crt: OK\n"
        assert "`stoves.crt: OK`" in (ROOT / "docs" / "tablet.md").read_text(encoding="utf-8")

    def test_the_keys_are_for_their_owner_alone(self, shop):
        made = shop.certificates.made
        assert [oct(path.stat().st_mode)[-3:] for path in (made, made / "authority.key")] == ["700", "600"]
        assert oct((shop.certificates.installed / "stoves.key").stat().st_mode)[-3:] == "600"

    def test_the_authority_can_speak_for_no_other_name(self, shop, tmp_path):
        for file in ("authority.crt", "authority.key"):
            (tmp_path / file).write_bytes((shop.certificates.made / file).read_bytes())
        _, _, again = commands_with("authority.key").partition("# The certificate")
        command = f"NAME={INVENTED}\n#{again}".replace(
            "openssl verify", "openssl verify -x509_strict -purpose sslserver"
        )
        assert "stoves.crt: OK" in typed(command, folder=tmp_path, instead={INVENTED: NAME})
        with pytest.raises(AssertionError, match="permitted subtree violation"):
            typed(command, folder=tmp_path, instead={INVENTED: "bank.example"})
        with pytest.raises(AssertionError, match="excluded subtree violation"):
            typed(command, folder=tmp_path, instead={INVENTED: NAME, '"subjectAltName=DNS:$NAME"': IP})

    def test_who_does_not_trust_it_gets_nowhere(self, shop, visitor):
        visitor.trust = ssl.create_default_context()
        with pytest.raises(ssl.SSLCertVerificationError):
            visitor.asks("GET", "/account/login/")


class TestDoor:
    def test_plain_http_leads_to_https_and_takes_nothing(self, visitor):
        for method in ("GET", "POST"):
            answer = visitor.asks(method, "/account/login/?next=/tablet/", sealed=False)
            assert answer.status == 301
            assert answer.headers["Location"] == f"https://{NAME}/account/login/?next=/tablet/"
            assert not answer.cookies

    def test_the_proof_for_a_public_authority_is_shown_over_plain_http(self, shop, visitor):
        place = shop.proxy.proofs / ".well-known" / "acme-challenge"
        place.mkdir(parents=True)
        (place / "token").write_text("proof")
        assert visitor.asks("GET", "/.well-known/acme-challenge/token", sealed=False).text == "proof"

    def test_it_speaks_no_old_tls_and_offers_many_files_at_once(self, shop, visitor):
        visitor.trust.set_alpn_protocols(["h2"])
        with visitor.line() as line:
            assert line.selected_alpn_protocol() == "h2"
        old = ssl.create_default_context(cafile=shop.certificates.authority)
        old.set_ciphers("DEFAULT@SECLEVEL=0")
        with pytest.warns(DeprecationWarning, match="TLSv1"):
            old.minimum_version, old.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
        visitor.trust = old
        with pytest.raises(ssl.SSLError, match="alert protocol version"):
            visitor.line()

    def test_the_login_goes_through_and_its_cookies_travel_sealed(self, visitor):
        signed_in = visitor.signs_in()
        assert (signed_in.status, signed_in.headers["Location"]) == (302, "/")
        assert set(visitor.cookies) >= {"sessionid", "csrftoken"}
        assert all(morsel["secure"] for morsel in signed_in.cookies.values())
        assert signed_in.cookies["sessionid"]["httponly"]
        today = visitor.asks("GET", "/")
        assert today.status == 200
        assert "Ivo Installer" in today.text
        assert today.headers["Strict-Transport-Security"] == "max-age=31536000"

    def test_a_request_of_another_site_is_refused(self, installer):
        assert installer.asks("POST", "/account/logout/", Origin="https://elsewhere.example").status == 403

    def test_another_name_is_no_way_in(self, visitor):
        assert visitor.asks("GET", "/account/login/", Host="elsewhere.example").status == 400


class TestPhotos:
    def test_the_largest_photo_arrives_byte_for_byte(self, installer, shop):
        content = photo_of(settings.PHOTO_MAX_BYTES)
        assert len(content) == settings.PHOTO_MAX_BYTES
        sent = installer.posts(
            f"/jobs/{shop.job}/site-work/before_work/label_photo/photo/",
            entry=str(uuid.uuid4()),
            photo=content,
        )
        assert sent.status == 302
        page = installer.asks("GET", sent.headers["Location"].partition("#")[0]).text
        (number,) = re.findall(r"/photos/(\d+)/", page)[:1] or [page]
        kept = installer.asks("GET", f"/photos/{number}/original/")
        assert kept.body == content

    def test_what_is_larger_is_refused_in_the_shops_own_words(self, installer):
        refused = installer.posts("/account/login/", photo=bytes(31 * MEGABYTE))
        assert refused.status == 413
        assert "larger than one photo may be" in refused.text

    def test_what_is_far_larger_does_not_get_past_the_proxy(self, installer):
        refused = installer.asks("POST", "/account/login/", Content_Length=str(41 * MEGABYTE))
        assert refused.status == 413
        assert "nginx" in refused.text


def digest(content: bytes) -> str:
    """Return a digest as RFC 9530 writes it."""
    return f"sha-256=:{base64.b64encode(hashlib.sha256(content).digest()).decode()}:"


class TestSending:
    """What the tablet's app asks for, through the proxy."""

    @pytest.fixture
    def told(self, installer) -> dict[str, str]:
        """What a tablet says of itself."""
        person = json.loads(installer.asks("GET", "/tablet/api/me").body)["person"]["id"]
        return {"Fluewright_Person": str(person), "X_CSRFToken": installer.cookies["csrftoken"]}

    def test_a_job_comes_compressed_and_its_tag_is_known_again(self, installer, shop, told):
        path, told = f"/tablet/api/jobs/{shop.job}/bundle", {**told, "Accept_Encoding": "gzip"}
        first = installer.asks("GET", path, **told)
        assert (first.status, first.headers["Content-Encoding"]) == (200, "gzip")
        assert json.loads(gzip.decompress(first.body))["job"]["id"] == shop.job
        again = installer.asks("GET", path, If_None_Match=first.headers["ETag"], **told)
        assert (again.status, again.body) == (304, b"")

    def test_a_photo_arrives_in_parts_with_their_digests(self, installer, shop, told):
        content, entry = photo_of(400_000), uuid.uuid4()
        path = f"/tablet/api/jobs/{shop.job}/photos/{entry}"
        for begin in (0, 256 * 1024):
            piece = content[begin : begin + 256 * 1024]
            answer = installer.asks(
                "PATCH", path, piece, Content_Type="application/octet-stream", Upload_Offset=str(begin),
                Upload_Length=str(len(content)), Content_Digest=digest(piece), Repr_Digest=digest(content),
                **told,
            )  # fmt: skip
            assert answer.status == 200, answer.text
        assert json.loads(installer.asks("GET", path, **told).body) == {"offset": 400_000, "complete": True}


@pytest.fixture
def tablet(shop, tmp_path) -> Iterator[BrowserContext]:
    """A real browser to which the shop's name leads to the proxy and whose system trusts the certificate."""
    key = subprocess.run(
        f"openssl x509 -in {shop.certificates.installed}/stoves.crt -noout -pubkey"
        " | openssl pkey -pubin -outform der | openssl dgst -sha256 -binary | openssl base64",
        shell=True, capture_output=True, text=True, check=True,
    ).stdout.strip()  # fmt: skip
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            tmp_path / "profile",
            executable_path="/usr/bin/chromium",
            args=[
                *CHROMIUM_FLAGS,
                f"--host-resolver-rules=MAP {NAME} 127.0.0.1:{shop.proxy.sealed}",
                f"--ignore-certificate-errors-spki-list={key}",
            ],
        )
        yield context
        context.close()


class TestTablet:
    @pytest.mark.browser
    def test_a_browser_keeps_the_app_and_opens_it_without_the_line(self, shop, tablet):
        page = tablet.pages[0]
        page.goto(f"https://{NAME}/tablet/")
        assert page.evaluate("isSecureContext")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        tablet.set_offline(True)
        answer = page.reload()
        assert answer is not None
        assert answer.from_service_worker
        expect(page).to_have_title("Site work")

    def test_the_app_and_its_worker_come_as_the_shop_sends_them(self, visitor):
        page = visitor.asks("GET", "/tablet/")
        assert page.status == 200
        assert "importmap" in page.text
        worker = visitor.asks("GET", "/tablet/service-worker.js")
        assert worker.status == 200
        assert worker.headers["Content-Type"].startswith("text/javascript")

    def test_a_copy_of_the_worker_is_kept_nowhere_on_the_way(self, visitor):
        worker = visitor.asks("GET", "/tablet/service-worker.js")
        assert worker.headers["Cache-Control"] in {"no-cache", "no-store"}
        assert "Expires" not in worker.headers


@pytest.fixture(scope="module")
def echo(shop, tmp_path_factory) -> Iterator[Visitor]:
    """The same file before a server that says what reached it."""

    class Echo(BaseHTTPRequestHandler):
        hits = 0

        def do_GET(self) -> None:
            Echo.hits += 1
            told = json.dumps({**dict(self.headers.items()), "hits": Echo.hits, "pad": "x" * 4000}).encode()
            self.send_response(200)
            self.send_header("Content-Type", "application/json")
            self.send_header("Content-Length", str(len(told)))
            self.send_header("Cache-Control", "public, max-age=3600")
            self.send_header("ETag", '"one"')
            self.end_headers()
            self.wfile.write(told)

        def log_message(self, *words: object) -> None:
            """Say nothing."""

    server = HTTPServer(("127.0.0.1", 0), Echo)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    proxy = Proxy(tmp_path_factory.mktemp("echo"), shop.certificates, behind=server.server_port)
    yield Visitor(proxy, shop.certificates.authority)
    proxy.process.stop()
    server.shutdown()
    server.server_close()


class TestWhatIsHandedOn:
    def test_what_a_visitor_claims_of_the_way_is_replaced(self, echo):
        told = json.loads(echo.asks("GET", "/", **FORGED).body)
        assert (told["Host"], told["X-Forwarded-For"], told["X-Forwarded-Proto"]) == (
            NAME,
            "127.0.0.1",
            "https",
        )

    def test_nothing_is_answered_from_a_copy(self, echo):
        first, second = (json.loads(echo.asks("GET", "/tablet/service-worker.js").body) for _ in range(2))
        assert second["hits"] == first["hits"] + 1

    def test_jobs_travel_compressed(self, echo):
        plain, packed = echo.asks("GET", "/"), echo.asks("GET", "/", Accept_Encoding="gzip")
        assert packed.headers["Content-Encoding"] == "gzip"
        assert len(packed.body) * 4 < len(plain.body)
