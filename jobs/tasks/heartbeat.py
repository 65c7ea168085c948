"""The worker's sign of life."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from jobs.models import Heartbeat


@shared_task(name="jobs.tasks.beat_heart")
def beat_heart() -> None:
    """Write down that a worker is alive and takes tasks."""
    Heartbeat.objects.update_or_create(name="worker", defaults={"seen_at": timezone.now()})
