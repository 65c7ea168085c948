"""Pictures of what the next stage covers up."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models import Job
from jobs.models.base import WorkRow, waiting_index


def original_path(photo: Photo, filename: str) -> str:
    """Return where an original is kept: by its content's hash, so the same picture is kept once."""
    return f"photos/{photo.sha256[:2]}/{photo.sha256}.{photo.extension}"


def derivative_path(photo: Photo, filename: str) -> str:
    """Return where a smaller picture made from the original is kept."""
    return f"photos/{photo.sha256[:2]}/{photo.sha256}-{filename}"


def paper_copy_name(sha256: str) -> str:
    """Return where the copy that papers hold is kept; it can be made again from the original at any time."""
    return f"photos/{sha256[:2]}/{sha256}-paper.jpg"


class Photo(WorkRow):
    """An original as it came from the camera; the worker turns and shrinks copies of it."""

    entry = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photos")
    original = models.FileField(upload_to=original_path, max_length=200)
    sha256 = models.CharField(max_length=64, db_index=True)
    extension = models.CharField(max_length=5)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    thumbnail = models.FileField(upload_to=derivative_path, blank=True, max_length=200)
    print_copy = models.FileField(upload_to=derivative_path, blank=True, max_length=200)

    class Meta:
        ordering = ["pk"]
        indexes = [waiting_index("inspections_photo_waiting")]
        constraints = [
            models.CheckConstraint(
                condition=Q(width__gt=0) & Q(height__gt=0) & Q(size__gt=0),
                name="inspections_photo_not_empty",
            ),
            models.CheckConstraint(
                condition=Q(done_at=None) | Q(original="") | (~Q(thumbnail="") & ~Q(print_copy="")),
                name="inspections_photo_done_has_copies",
            ),
        ]

    def __str__(self) -> str:
        return f"Photo {self.pk} of {self.job}"

    @property
    def is_erased(self) -> bool:
        """Whether its files were erased with everything personal of the customer; its hash stays."""
        return not self.original
