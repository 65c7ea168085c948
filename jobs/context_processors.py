"""What every page may show."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from jobs.models import Heartbeat, Shop, User
from jobs.navigation import links_for


def shop(request: HttpRequest) -> dict[str, Any]:
    """Return the shop and, for staff, the bar and the background worker's sign of life."""
    user = getattr(request, "user", None)
    if not isinstance(user, User):
        return {"shop": Shop.current()}
    heartbeat = Heartbeat.objects.filter(name="worker").first()
    return {
        "shop": Shop.current(),
        "bar": links_for(user, request.path),
        "heartbeat": heartbeat,
        "worker_silent": heartbeat is None or heartbeat.is_silent(timezone.now()),
    }
