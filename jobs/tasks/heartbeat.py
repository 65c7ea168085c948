"""The worker's sign of life."""

from __future__ import annotations

from typing import Any

from celery import shared_task
from celery.signals import task_postrun
from django.utils import timezone

from jobs.services.heartbeat import heartbeat_note


@shared_task(name="jobs.tasks.beat_heart")
def beat_heart() -> None:
    """Write down that a worker is alive and takes tasks."""
    heartbeat_note(now=timezone.now())


@task_postrun.connect
def note_life(**kwargs: Any) -> None:
    """Count every task's end as life: a worker with a long queue is busy, not silent."""
    heartbeat_note(now=timezone.now())
