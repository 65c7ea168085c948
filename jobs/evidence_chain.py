"""The links of an evidence chain: what is hashed, and how. docs/evidence.md states the same for outsiders.

Nothing here asks the database, so that a migration and a check years later reckon with the same few lines.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
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
    """Return the text of which an event's hash is the SHA-256; `facts` is canonical JSON already.

    Names stand in the order of their letters, so the facts' own text can be put between two halves.
    """
    told = {
        "at": time_words(at),
        "by": {"id": by[0], "name": by[1]} if by else None,
        "device": device,
    }
    rest = {
        "job": job,
        "kind": kind,
        "number": number,
        "previous": previous,
        "private": private,
        "subject": subject,
    }
    return f'{canonical(told)[:-1]},"facts":{facts},{canonical(rest)[1:]}'


@dataclass(frozen=True)
class EvidenceEntry:
    """What is to be logged, before it has its place in the chain."""

    kind: str
    #: The row it speaks of: "answer:<entry>", "document:12".
    subject: str
    facts: Mapping[str, Any]
    at: datetime
    #: A user.
    by: Any = None
    device: str = ""
    #: What may have to be forgotten; None or empty where there is nothing of the kind.
    private: Mapping[str, Any] | None = None


@dataclass(frozen=True)
class Link:
    """One link of a chain as columns: of its event, and of its private part where it has one."""

    event: dict[str, Any]
    private: dict[str, str] | None


def links(*, job: str, number: int, previous: str, entries: Sequence[EvidenceEntry]) -> Iterator[Link]:
    """Return the links that follow the one with this number and hash."""
    for at, entry in enumerate(entries, start=number + 1):
        private = None
        if entry.private:
            private = {"salt": salt_new(), "content": canonical(entry.private)}
        told: dict[str, Any] = {
            "number": at,
            "kind": entry.kind,
            "subject": entry.subject,
            "at": entry.at,
            "device": entry.device[:120],
            "facts": canonical(entry.facts),
            "previous": previous,
        }
        sealed = commitment(**private) if private else ""
        name = entry.by.name[:120] if entry.by else ""
        by = (entry.by.pk, name) if entry.by else None
        previous = digest(event_text(job=job, by=by, private=sealed, **told))
        event = {**told, "by": entry.by, "by_name": name, "private_commitment": sealed, "hash": previous}
        yield Link(event, private)
