"""System checks of what papers are sealed with: each says in words what is wrong and what to do."""

from __future__ import annotations

import stat
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register
from django.utils import timezone

from config.environment import is_loopback
from jobs.errors import JobsError
from jobs.seal_keys import own_key_read, seal_key_check, seal_key_file

HINT = "README.md says what SEAL_CERTIFICATE, SEAL_KEY and SEAL_PASSWORD hold."
#: Somebody must still find the time to get a new one.
SOON_DAYS = 30


@register("seal")
def check_seal(**kwargs: Any) -> list[CheckMessage]:
    """Whether the shop's own certificate can seal papers, and nobody else can read its key."""
    if not settings.SEAL_CERTIFICATE:
        if settings.SEAL_KEY or settings.SEAL_PASSWORD:
            message = "SEAL_KEY or SEAL_PASSWORD is set and SEAL_CERTIFICATE is not, so neither is used."
            return [Warning(message, hint=HINT, id="fluewright.W006")]
        return _readable(seal_key_file())
    now = timezone.now()
    try:
        found = own_key_read()
        seal_key_check(found, now)
    except JobsError as error:
        return [
            Error(f"No certificate can be sealed: {error.sentence}", hint=HINT, id="fluewright.E010"),
        ]
    messages = _readable(Path(settings.SEAL_KEY or settings.SEAL_CERTIFICATE))
    ends = found.certificate.not_valid_after_utc
    if (ends - now).days < SOON_DAYS:
        message = f"The seal's certificate expires on {ends:%Y-%m-%d}; after that no certificate is made."
        messages.append(Warning(message, hint="Ask its issuer for the next one now.", id="fluewright.W007"))
    return messages


@register("seal")
def check_timestamp_server(**kwargs: Any) -> list[CheckMessage]:
    """Whether TIMESTAMP_URL is an address that can be asked."""
    url = settings.TIMESTAMP_URL
    if not url:
        return []
    example = "Write it like https://stamps.example/tsa, or leave it unset to seal without time stamps."
    try:
        parts = urlsplit(url)
        _ = parts.port
    except ValueError:
        return [Error(f"TIMESTAMP_URL is {url!r}: no address.", hint=example, id="fluewright.E011")]
    if parts.scheme not in {"http", "https"} or not parts.hostname:
        return [Error(f"TIMESTAMP_URL is {url!r}: no address.", hint=example, id="fluewright.E011")]
    if parts.username and parts.scheme == "http" and not is_loopback(parts.hostname):
        message = "TIMESTAMP_URL holds a password and begins with http, so it crosses the network unsealed."
        return [Warning(message, hint="Write https in place of http.", id="fluewright.W008")]
    return []


def _readable(path: Path) -> list[CheckMessage]:
    if not path.exists() or not stat.S_IMODE(path.stat().st_mode) & (stat.S_IRWXG | stat.S_IRWXO):
        return []
    message = f"Others on this machine may read {path}, the key papers are sealed with."
    return [Warning(message, hint=f"chmod 600 {path}", id="fluewright.W009")]
