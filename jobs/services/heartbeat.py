"""The worker's sign of life."""

from __future__ import annotations

from datetime import datetime, timedelta

from jobs.models import Heartbeat

#: Written no more often than this, however many tasks end.
PULSE = timedelta(seconds=20)


def heartbeat_note(*, now: datetime) -> None:
    """Write down that a worker is alive, unless that was written a moment ago."""
    fresh = Heartbeat.objects.filter(name="worker", seen_at__gt=now - PULSE)
    if not fresh.exists():
        Heartbeat.objects.update_or_create(name="worker", defaults={"seen_at": now})
