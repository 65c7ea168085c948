"""Where the copies of a photo lie, for a tablet."""

from __future__ import annotations

from django.urls import reverse

from inspections.models import Photo
from inspections.queries.bundle_shape import PicturePart


def picture_part(photo: Photo) -> PicturePart:
    """Return a photo's addresses."""
    return PicturePart(id=photo.pk, thumbnail=_copy(photo, "thumbnail"), picture=_copy(photo, "print"))


def _copy(photo: Photo, size: str) -> str:
    """Return where a copy lies; nothing is there before the worker has made it."""
    return reverse("photo_file", args=[photo.pk, size]) if photo.done_at else ""
