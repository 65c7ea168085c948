"""The links of an evidence chain: what is hashed, and how. docs/evidence.md states the same for outsiders.

Nothing here asks the database, so that a migration and a check years later reckon with the same few lines.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from datetime import UTC, datetime
from typing import Any

import rfc8785

#: Bytes of a salt: 256 bits, so that nobody finds a forgotten name by trying all names.
SALT_BYTES = 32


def canonical(value: Any) -> str:
    """Return a value in the one form that is hashed: canonical JSON, RFC 8785."""
    return rfc8785.dumps(value).decode()


def digest(text: str) -> str:
    """Return the SHA-256 of a text's UTF-8 bytes [hex]."""
    return hashlib.sha256(text.encode()).hexdigest()


def genesis(job: str) -> str:
    """Return what the first event of a job has for a previous hash.

    Examples
    --------
    >>> genesis("J-0042")[:16]
    'ca6c1c6522d1d863'
    """
    return digest(f"fluewright evidence log 1 of {job}")


def salt_new() -> str:
    """Return a salt nobody guesses [hex]."""
    return secrets.token_hex(SALT_BYTES)


def commitment(salt: str, content: str) -> str:
    """Return what a chain holds of a private part: the hash of salt and content, one behind the other."""
    return digest(salt + content)


def time_words(at: datetime) -> str:
    """Return a moment as it is hashed: UTC, with microseconds.

    Examples
    --------
    >>> time_words(datetime(2026, 11, 29, 16, 1, tzinfo=UTC))
    '2026-11-29T16:01:00.000000Z'
    """
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def event_text(
    *,
    job: str,
    number: int,
    kind: str,
    subject: str,
    at: datetime,
    by: tuple[int, str] | None,
    device: str,
    facts: str,
    private: str,
    previous: str,
) -> str:
    """Return the text of which an event's hash is the SHA-256; `facts` is canonical JSON already."""
    return canonical(
        {
            "job": job,
            "number": number,
            "kind": kind,
            "subject": subject,
            "at": time_words(at),
            "by": {"id": by[0], "name": by[1]} if by else None,
            "device": device,
            "facts": json.loads(facts),
            "private": private,
            "previous": previous,
        }
    )
