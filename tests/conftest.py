"""The people every test may call on, and a fresh home for files."""

from __future__ import annotations

import pytest
from django.test import Client

from jobs.models import Role, Technician, User
from tests.factories import TechnicianFactory, UserFactory


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path):
    """Keep media, and the tests' static files, away from anybody's shop."""
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
