"""Copies of photos are made by the worker."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from inspections.services import photo_copies


@shared_task(name="inspections.tasks.prepare_photo")
def prepare_photo(pk: int) -> None:
    """Make one photo's thumbnail and print copy."""
    photo_copies.photo_prepare(pk=pk, now=timezone.now())


@shared_task(name="inspections.tasks.pick_up_left_photos")
def pick_up_left_photos() -> None:
    """Make the copies a lost bell or a killed worker left behind."""
    for pk in photo_copies.photos_left(now=timezone.now()):
        photo_copies.photo_prepare(pk=pk, now=timezone.now())
