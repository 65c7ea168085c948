"""Pieces of a photo that is still on its way."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from jobs.models import Job


class PhotoPart(models.Model):
    """One piece of a photo's bytes, kept until the last one makes the photo."""

    entry = models.UUIDField()
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photo_parts")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    #: Where in the whole it begins [bytes].
    offset = models.PositiveIntegerField()
    size_of_whole = models.PositiveIntegerField()
    #: Hash of the whole photo.
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    received_at = models.DateTimeField()

    class Meta:
        ordering = ["entry", "offset"]
        constraints = [
            models.UniqueConstraint(fields=["entry", "offset"], name="inspections_photopart_once"),
            models.CheckConstraint(
                condition=Q(offset__lt=F("size_of_whole")), name="inspections_photopart_inside"
            ),
        ]
        indexes = [models.Index(fields=["received_at"], name="inspections_photopart_age")]

    def __str__(self) -> str:
        return f"Photo {self.entry} from {self.offset} of {self.size_of_whole}"
