"""What every answer carries, whoever asks and whatever comes of it."""

from __future__ import annotations

import logging
import re

import pytest
from django.http import HttpRequest
from django.test import Client
from django.urls import reverse

from config.logs import KeylessFormatter
from tests.factories import CustomerFactory


@pytest.fixture
def pages(office, as_user):
    """Return one answer of each sort: page, redirect, refusal, nothing there, sign-in, private link."""
    desk = as_user(office)
    return {
        "page": desk.get(reverse("customer_list")),
        "redirect": Client().get(reverse("customer_list")),
        "refused": desk.get(reverse("staff_list")),
        "not there": desk.get("/nowhere/"),
        "sign in": Client().get(reverse("account_login")),
        "private link": Client().get(reverse("customer_page", args=[CustomerFactory().link_token])),
    }


def test_no_page_runs_or_is_dressed_by_anything_inline(pages):
    for name, page in pages.items():
        policy = page["Content-Security-Policy"]
        assert "'unsafe" not in policy, name
        assert "default-src 'self'" in policy
        assert "object-src 'none'" in policy
        assert "base-uri 'none'" in policy
        assert "form-action 'self'" in policy
        text = page.content.decode()
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", text), name
        assert all(" src=" in tag for tag in re.findall(r"<script[^>]*>", text)), name


def test_no_page_can_be_put_into_a_frame(pages):
    for page in pages.values():
        assert page["X-Frame-Options"] == "DENY"
        assert "frame-ancestors 'none'" in page["Content-Security-Policy"]


def test_nothing_private_is_kept_by_a_browser_or_a_cache(pages):
    for name, page in pages.items():
        assert "no-store" in page["Cache-Control"], name


def test_no_address_travels_to_another_site(pages):
    for name, page in pages.items():
        assert page["Referrer-Policy"] == ("no-referrer" if name == "private link" else "same-origin")
        assert page["X-Content-Type-Options"] == "nosniff"
        assert page["Cross-Origin-Opener-Policy"] == "same-origin"


def test_going_back_asks_the_server_and_not_a_copy_of_the_page(pages):
    assert '"historyCacheSize": 0' in pages["page"].content.decode()


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "127.0.0.1@evil.example", "a b", ""]
)
def test_it_answers_only_to_its_own_name(db, host, caplog):
    answer = Client().get(reverse("account_login"), HTTP_HOST=host)
    assert answer.status_code == 400
    assert "That was not understood" in answer.content.decode()
    assert "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize(
    "there", ["https://evil.example/", "//evil.example/", r"/\evil.example", "javascript:alert(1)"]
)
def test_signing_in_leads_nowhere_else(office, there):
    client = Client()
    said = {"login": office.email, "password": "a long enough password", "next": there}
    answer = client.post(reverse("account_login"), said)
    assert answer.status_code == 302
    assert answer.url == reverse("today")


def test_a_form_without_its_token_is_refused_in_plain_words(office):
    client = Client(enforce_csrf_checks=True)
    client.force_login(office, backend="allauth.account.auth_backends.AuthenticationBackend")
    answer = client.post(reverse("customer_add"), {"name": "Ada Quill"})
    assert answer.status_code == 403
    assert "Nothing was saved" in answer.content.decode()
    assert office.name in answer.content.decode()


def test_a_form_from_another_site_is_refused(office):
    client = Client(enforce_csrf_checks=True)
    client.force_login(office, backend="allauth.account.auth_backends.AuthenticationBackend")
    client.get(reverse("customer_add"))
    token = client.cookies["csrftoken"].value
    said = {"name": "Ada Quill", "csrfmiddlewaretoken": token}
    assert client.post(reverse("customer_add"), said, HTTP_ORIGIN="https://evil.example").status_code == 403
    assert client.post(reverse("customer_add"), said).status_code == 302


def test_what_is_larger_than_a_photo_is_refused_before_it_is_read(office, as_user, monkeypatch):
    def read(self):
        raise AssertionError("it was read")

    monkeypatch.setattr(HttpRequest, "_load_post_and_files", read)
    answer = as_user(office).generic(
        "POST", reverse("customer_add"), b"", content_type="multipart/form-data; boundary=x",
        CONTENT_LENGTH=str(31 * 1024 * 1024),
    )  # fmt: skip
    assert answer.status_code == 413
    assert "larger than one photo" in answer.content.decode()


def test_cookies_are_out_of_reach_of_scripts_and_of_other_sites(office):
    client = Client()
    client.post(reverse("account_login"), {"login": office.email, "password": "a long enough password"})
    session = client.cookies["sessionid"]
    assert session["httponly"]
    assert session["samesite"] == client.cookies["csrftoken"]["samesite"] == "Lax"


@pytest.mark.parametrize(
    "line",
    [
        "Not Found: /c/Zk3yT0kenNobodyMayRead/stop/",
        "Internal Server Error: /c/Zk3yT0kenNobodyMayRead/",
        "Forbidden: /account/password/reset/key/5-Zk3yT0kenNobodyMayRead/",
    ],
)
def test_the_log_never_holds_a_key_that_opens_a_page(line):
    record = logging.LogRecord("django.request", logging.ERROR, "", 0, "%s", (line,), None)
    written = KeylessFormatter("%(levelname)s %(message)s").format(record)
    assert "Zk3y" not in written
    assert written.startswith("ERROR")


def test_the_log_of_this_program_is_written_that_way():
    handlers = logging.getLogger().handlers
    assert any(isinstance(handler.formatter, KeylessFormatter) for handler in handlers)
