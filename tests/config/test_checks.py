"""Each named check both ways: silent when all is well, one sentence and a hint when it is not."""

from __future__ import annotations

import sqlite3
from datetime import timedelta

import pytest
from django.conf import settings as shop_settings
from django.core.checks import run_checks
from django.core.exceptions import ImproperlyConfigured
from django.db import connection, connections
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.utils import timezone

from config import checks, environment, pango
from jobs.models import Heartbeat


def ids(messages) -> list[str]:
    return [message.id for message in messages]


def assert_one(messages, identity: str, *words: str) -> None:
    assert ids(messages) == [identity]
    text = f"{messages[0].msg} {messages[0].hint}"
    for word in words:
        assert word in text


@pytest.fixture
def file_database(tmp_path):
    """Return a function that opens a SQLite file with the options given, as the settings would."""
    opened = []

    def open_file(**options) -> DatabaseWrapper:
        told = {**connection.settings_dict, "NAME": str(tmp_path / "shop.sqlite3"), "OPTIONS": options}
        told["ENGINE"] = "django.db.backends.sqlite3"
        wrapper = DatabaseWrapper({**told, "CONN_MAX_AGE": 0, "ATOMIC_REQUESTS": False}, "file")
        opened.append(wrapper)
        return wrapper

    yield open_file
    for wrapper in opened:
        wrapper.close()


@pytest.fixture
def as_alias(file_database, monkeypatch, django_db_blocker):
    """Return a function that makes such a file known as a database, with the checks let at it."""

    with django_db_blocker.unblock():

        def known(**options) -> None:
            monkeypatch.setattr(connections._connections, "file", file_database(**options), raising=False)

        yield known


def test_pango_is_there():
    assert checks.check_pango() == []


def test_it_names_the_library_that_cannot_be_loaded(monkeypatch):
    monkeypatch.setitem(pango.LIBRARIES, "Pango", ("no-such-library", "libno-such-library.so.0"))
    assert_one(checks.check_pango(), "fluewright.E001", "Pango", "bin/setup")


def test_the_shops_own_options_do_what_they_ask_for(as_alias):
    as_alias(**shop_settings.SQLITE_OPTIONS)
    assert checks.check_sqlite(databases=["file"]) == []


@pytest.mark.parametrize(
    ("pragmas", "identity", "word"),
    [
        ("PRAGMA journal_mode=DELETE; PRAGMA synchronous=FULL;", "fluewright.E002", "journal_mode is delete"),
        ("PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;", "fluewright.E003", "synchronous is 0"),
        (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA busy_timeout=10;",
            "fluewright.E004",
            "busy_timeout is 10 ms",
        ),
    ],
)
def test_it_reads_each_pragma_back(pragmas, identity, word, as_alias):
    as_alias(transaction_mode="IMMEDIATE", timeout=20, init_command=pragmas)
    assert_one(checks.check_sqlite(databases=["file"]), identity, word, "SQLITE_OPTIONS")


def test_it_hears_that_transactions_do_not_begin_immediate(as_alias):
    as_alias(**{**shop_settings.SQLITE_OPTIONS, "transaction_mode": None})
    assert_one(checks.check_sqlite(databases=["file"]), "fluewright.E005", "IMMEDIATE")


def test_immediate_means_that_a_second_writer_is_kept_out(file_database, tmp_path, django_db_blocker):
    with django_db_blocker.unblock():
        wrapper = file_database(**shop_settings.SQLITE_OPTIONS)
        wrapper.ensure_connection()
        wrapper.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
        second = sqlite3.connect(tmp_path / "shop.sqlite3", timeout=0)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            second.execute("BEGIN IMMEDIATE")
        second.close()
        wrapper.rollback()


def test_databases_are_asked_only_when_named():
    assert checks.check_sqlite() == []
    assert checks.check_worker() == []


@pytest.mark.parametrize(
    "url",
    [
        "http://127.0.0.1:8000",
        "http://localhost:8000",
        "https://stoves.example",
        "https://stoves.example:8443",
    ],
)
def test_a_good_address_passes(url, settings):
    settings.SITE_URL = url
    assert checks.check_site_url() == []


@pytest.mark.parametrize("url", ["stoves.example", "ftp://stoves.example", "https://", ""])
def test_it_refuses_what_is_no_address(url, settings):
    settings.SITE_URL = url
    assert_one(checks.check_site_url(), "fluewright.E006", repr(url), "https://stoves.example")


@pytest.mark.parametrize(
    "url", ["https://stoves.example/shop", "https://stoves.example?a=1", "https://me@stoves.example"]
)
def test_it_refuses_more_than_scheme_host_and_port(url, settings):
    settings.SITE_URL = url
    assert_one(checks.check_site_url(), "fluewright.E007", url)


def test_it_warns_of_an_address_on_the_network_without_a_seal(settings):
    settings.SITE_URL = "http://stoves.example"
    assert_one(checks.check_site_url(), "fluewright.W001", "https://")


def test_it_warns_of_debug_on_the_network(settings):
    settings.SITE_URL = "https://stoves.example"
    settings.DEBUG = True
    assert_one(checks.check_site_url(), "fluewright.W005", "DEBUG")


def test_an_address_that_cannot_be_read_is_named():
    with pytest.raises(ImproperlyConfigured, match="SITE_URL is 'http://stoves"):
        environment.address_split("SITE_URL", "http://stoves.example:port")


def with_mail(settings, site: str, url: str, sender: str) -> None:
    settings.SITE_URL = site
    settings.MAIL_URL = url
    settings.MAIL_FROM = sender
    settings.DEFAULT_FROM_EMAIL = sender or "office@stoves.example"


def test_mail_in_a_folder_is_fine_on_one_machine(settings):
    with_mail(settings, "http://127.0.0.1:8000", "folder:///tmp/mail", "")
    assert checks.check_mail() == []


@pytest.mark.parametrize("sender", ["office@stoves.example", "The shop <office@stoves.example>"])
def test_a_mail_server_and_a_sender_are_fine_on_the_network(sender, settings):
    with_mail(settings, "https://stoves.example", "smtp://mail.stoves.example:587", sender)
    assert checks.check_mail() == []


def test_it_warns_that_mail_in_a_folder_reaches_nobody(settings):
    with_mail(settings, "https://stoves.example", "folder:///tmp/mail", "office@stoves.example")
    assert_one(checks.check_mail(), "fluewright.W003", "/tmp/mail", "MAIL_URL")


def test_it_warns_when_nobody_is_named_as_the_sender(settings):
    with_mail(settings, "https://stoves.example", "smtp://mail.stoves.example:587", "")
    assert_one(checks.check_mail(), "fluewright.W004", "office@stoves.example", "MAIL_FROM")


def test_it_refuses_a_sender_that_is_no_address(settings):
    with_mail(settings, "http://127.0.0.1:8000", "folder:///tmp/mail", "the office")
    assert_one(checks.check_mail(), "fluewright.E008", "the office")


@pytest.mark.django_db
def test_a_worker_seen_just_now_is_fine():
    Heartbeat.objects.create(name="worker", seen_at=timezone.now())
    assert checks.check_worker(databases=["default"]) == []


@pytest.mark.django_db
def test_it_warns_that_no_worker_was_ever_seen():
    assert_one(checks.check_worker(databases=["default"]), "fluewright.W002", "ever seen", "serve")


@pytest.mark.django_db
def test_it_warns_of_a_worker_that_fell_silent():
    Heartbeat.objects.create(name="worker", seen_at=timezone.now() - timedelta(hours=3, minutes=5))
    assert_one(checks.check_worker(databases=["default"]), "fluewright.W002", "3\xa0hours ago")


def test_before_the_tables_are_there_no_worker_is_missed(as_alias, monkeypatch):

    as_alias(**shop_settings.SQLITE_OPTIONS)
    monkeypatch.setattr(connections._connections, "default", connections["file"])
    assert checks.check_worker(databases=["default"]) == []


def test_every_check_is_registered(settings):
    settings.SITE_URL = "http://stoves.example/shop"
    assert "fluewright.E007" in ids(run_checks())
