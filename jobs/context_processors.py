"""What every page may show."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from jobs.models import Heartbeat, Shop


def shop(request: HttpRequest) -> dict[str, Any]:
    """Return the shop and the sign of life of the background worker."""
    heartbeat = Heartbeat.objects.filter(name="worker").first()
    return {
        "shop": Shop.current(),
        "heartbeat": heartbeat,
        "worker_silent": heartbeat is None or heartbeat.is_silent(timezone.now()),
    }
