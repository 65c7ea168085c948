"""What an https address in SITE_URL changes, and what is kept from others on the same machine."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings as shop_settings
from django.core.exceptions import ImproperlyConfigured

from config import environment

ASKED = (
    "SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SECURE_SSL_REDIRECT", "SECURE_HSTS_SECONDS",
    "SECURE_PROXY_SSL_HEADER", "ALLOWED_HOSTS", "CSRF_TRUSTED_ORIGINS", "ALLAUTH_TRUSTED_PROXY_COUNT",
    "DEBUG",
)  # fmt: skip
PRINT = f"""
import json
from django.conf import settings
print(json.dumps({{name: getattr(settings, name) for name in {ASKED!r}}}))
"""


@pytest.fixture
def elsewhere(tmp_path):
    """Return a function that runs Python under settings of its own and returns what it printed."""

    def run(*arguments: str, **told: str) -> str:
        kept = {name: value for name, value in os.environ.items() if name in {"PATH", "HOME", "LANG"}}
        own = {"DJANGO_SETTINGS_MODULE": "config.settings", "FLUEWRIGHT_VAR": str(tmp_path / "var")}
        done = subprocess.run(
            [sys.executable, *arguments],
            env={**kept, **own, **told},
            cwd=shop_settings.BASE_DIR, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout + done.stderr

    return run


def test_under_https_cookies_travel_sealed_and_the_open_door_leads_to_the_sealed_one(elsewhere):
    said = json.loads(elsewhere("-c", PRINT, SITE_URL="https://stoves.example"))
    assert said == {
        "SESSION_COOKIE_SECURE": True,
        "CSRF_COOKIE_SECURE": True,
        "SECURE_SSL_REDIRECT": True,
        "SECURE_HSTS_SECONDS": 31_536_000,
        "SECURE_PROXY_SSL_HEADER": ["HTTP_X_FORWARDED_PROTO", "https"],
        "ALLOWED_HOSTS": ["stoves.example"],
        "CSRF_TRUSTED_ORIGINS": ["https://stoves.example"],
        "ALLAUTH_TRUSTED_PROXY_COUNT": 1,
        "DEBUG": False,
    }


def test_on_this_machine_alone_nobody_is_believed_to_stand_in_front(elsewhere):
    said = json.loads(elsewhere("-c", PRINT))
    assert said["ALLAUTH_TRUSTED_PROXY_COUNT"] == 0
    assert said["SECURE_PROXY_SSL_HEADER"] is None
    assert not said["SECURE_SSL_REDIRECT"]
    assert not said["DEBUG"]


def test_the_deployment_checks_have_nothing_to_say(elsewhere):
    told = elsewhere(
        "manage.py", "check", "--deploy",
        SITE_URL="https://stoves.example", MAIL_URL="smtp://mail.example:587",
        MAIL_FROM="office@stoves.example",
    )  # fmt: skip
    assert "no issues" in told


def test_the_folder_of_secrets_and_photos_is_open_to_its_owner_alone(elsewhere, tmp_path):
    elsewhere("-c", PRINT)
    assert stat.S_IMODE((tmp_path / "var").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "var" / "secret_key").stat().st_mode) == 0o600


def test_a_folder_somebody_made_keeps_its_rights(tmp_path, monkeypatch):
    made = tmp_path / "shared"
    made.mkdir()
    made.chmod(0o750)
    monkeypatch.setenv("FLUEWRIGHT_VAR", str(made))
    assert environment.folder("FLUEWRIGHT_VAR", Path("var")) == made
    assert stat.S_IMODE(made.stat().st_mode) == 0o750


@pytest.mark.parametrize("written", ["-1", "one", "1.5", "²"])
def test_a_number_that_is_none_is_named(monkeypatch, written):
    monkeypatch.setenv("TRUSTED_PROXIES", written)
    with pytest.raises(ImproperlyConfigured, match="TRUSTED_PROXIES"):
        environment.number("TRUSTED_PROXIES", 0)
