"""A tablet in a test: a signed-in client that speaks to the API as the app does."""

from __future__ import annotations

import base64
import hashlib
import uuid
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job, User

SCRAWL = {
    "strokes": [[[20, 60], [60, 20], [90, 80], [140, 30], [200, 70]], [[210, 40], [211, 41]]],
    "width": 400,
    "height": 120,
    "name": "",
}


def digest(content: bytes) -> str:
    """Return the digest field of some bytes."""
    return f"sha-256=:{base64.b64encode(hashlib.sha256(content).digest()).decode()}:"


def sha256(content: bytes) -> str:
    """Return the hash of some bytes as an entry tells it."""
    return hashlib.sha256(content).hexdigest()


def entry(kind: str, **told: Any) -> dict[str, Any]:
    """Return an entry as the app of today sends it."""
    return {
        "version": 2, "entry": str(uuid.uuid4()), "kind": kind, "stage": "", "item": "", "text": "",
        "saw": None, "verdict": "", "taken_at": "2026-05-04T15:00:00+00:00", "signature": None,
        "photo": None, **told,
    }  # fmt: skip


@dataclass
class Tablet:
    """One tablet of one person."""

    user: User
    client: Client
    device: str = field(default_factory=lambda: str(uuid.uuid4()))
    ahead: float = 0.0

    @property
    def headers(self) -> dict[str, str]:
        """What every request but `me` says."""
        clock = timezone.now() + timedelta(seconds=self.ahead)
        return {
            "Fluewright-Person": str(self.user.pk), "Fluewright-Device": self.device,
            "Fluewright-Clock": clock.isoformat(), "Fluewright-App": "a1b2c3",
        }  # fmt: skip

    def get(self, name: str, *args: object, **headers: str) -> HttpResponse:
        return self.client.get(reverse(name, args=args), headers={**self.headers, **headers})

    def send(self, job: Job, *entries: Any) -> HttpResponse:
        return self.client.post(
            reverse("tablet_entries", args=[job.pk]), {"entries": list(entries)}, "application/json",
            headers=self.headers,
        )  # fmt: skip

    def part(self, job: Job, number: str, content: bytes, *, at: int, whole: bytes, **headers: str):
        told = {
            "Upload-Offset": str(at), "Upload-Length": str(len(whole)),
            "Content-Digest": digest(content), "Repr-Digest": digest(whole),
        }  # fmt: skip
        return self.client.patch(
            reverse("tablet_photo", args=[job.pk, number]), content, "application/octet-stream",
            headers={**self.headers, **told, **headers},
        )  # fmt: skip
