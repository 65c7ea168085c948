"""Parts of photos that no tablet goes on with are cleared away."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from inspections.services.left_parts import photo_parts_drop_left


@shared_task(name="inspections.tasks.drop_left_photo_parts")
def drop_left_photo_parts() -> None:
    """Remove the parts left behind."""
    photo_parts_drop_left(now=timezone.now())
