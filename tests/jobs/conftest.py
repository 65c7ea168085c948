"""What the tests of mail and reminders share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.core.cache import cache

from tests.jobs.smtp_server import SmtpServer


@pytest.fixture(autouse=True)
def _fresh_counts(_own_files) -> None:
    """Forget what earlier tests asked of the rate limits."""
    cache.clear()


@pytest.fixture
def smtp_server() -> Iterator[SmtpServer]:
    server = SmtpServer().start()
    yield server
    server.stop()


@pytest.fixture
def over_smtp(settings) -> Callable[..., None]:
    """Return a function that points the mail settings at a server."""

    def point(server: SmtpServer, **more: Any) -> None:
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", server.port
        settings.EMAIL_TIMEOUT = 5
        settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
        settings.EMAIL_HOST_USER = settings.EMAIL_HOST_PASSWORD = ""
        settings.DEFAULT_FROM_EMAIL = "office@shop.example"
        for name, value in more.items():
            setattr(settings, name, value)

    return point
