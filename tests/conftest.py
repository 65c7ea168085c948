"""The people every test may call on, and a fresh home for files."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings as shop_settings
from django.db.backends.base.base import BaseDatabaseWrapper
from django.test import Client

from config import celery_app
from jobs.models import Role, Technician, User
from tests.factories import TechnicianFactory, UserFactory
from tests.jobs.other_processes import Shop


def pytest_configure(config: pytest.Config) -> None:
    """Refuse to run on SQLite what was meant to run on the servers."""
    if os.environ.get("FLUEWRIGHT_SERVERS") == "required" and not (
        shop_settings.DATABASE_URL.startswith("postgres") and shop_settings.REDIS_URL
    ):
        raise pytest.UsageError("FLUEWRIGHT_SERVERS asks for DATABASE_URL and REDIS_URL, and one is not set.")


@pytest.fixture(autouse=True, scope="session")
def _bells_stay_here() -> Iterator[None]:
    """Ring no bell that somebody's running worker would hear."""
    before = celery_app.conf.broker_url
    celery_app.conf.update(broker_url="memory://")
    yield
    celery_app.conf.update(broker_url=before)


@pytest.fixture(autouse=True, scope="session")
def _transactions_outlive_answers() -> Iterator[None]:
    """Let a test close an answer without losing the transaction it runs in.

    Django closes a connection whose autocommit is off when an answer is closed; in a test that is the
    transaction which is rolled back at the end.
    """
    whole = BaseDatabaseWrapper.close_if_unusable_or_obsolete

    def close_between_transactions(self: BaseDatabaseWrapper) -> None:
        if not self.in_atomic_block:
            whole(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(BaseDatabaseWrapper, "close_if_unusable_or_obsolete", close_between_transactions)
        yield


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path, tmp_path_factory):
    """Keep media, and the tests' static files, away from anybody's shop."""
    settings.VAR_DIR = tmp_path_factory.mktemp("own")
    settings.SEAL_CERTIFICATE = settings.SEAL_KEY = settings.SEAL_PASSWORD = settings.TIMESTAMP_URL = ""
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}
    settings.CELERY_TASK_ALWAYS_EAGER = False
    # The slow hasher would take most of the suite's time.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def owner(db) -> User:
    return UserFactory(role=Role.OWNER, name="Olive Owner")


@pytest.fixture
def office(db) -> User:
    return UserFactory(role=Role.OFFICE, name="Fern Office")


@pytest.fixture
def technician(db) -> Technician:
    return TechnicianFactory(user__name="Ivo Installer")


@pytest.fixture
def installer(technician) -> User:
    """An installer with a crew."""
    return technician.user


@pytest.fixture
def stranger(db) -> User:
    """An installer whose crew has no job at all."""
    return TechnicianFactory(user__name="Sten Stranger").user


@pytest.fixture
def inspector(db) -> User:
    return UserFactory(role=Role.INSPECTOR, name="Petra Inspector")


@pytest.fixture
def as_user():
    """Return a function that gives a client signed in as somebody."""

    def sign_in(user: User) -> Client:
        client = Client()
        client.force_login(user, backend="allauth.account.auth_backends.AuthenticationBackend")
        return client

    return sign_in


@pytest.fixture
def other_processes(transactional_db, tmp_path: Path) -> Iterator[Shop]:
    """Return a shop whose database other processes can open."""
    shop = Shop(tmp_path / "var")
    yield shop
    shop.end()
