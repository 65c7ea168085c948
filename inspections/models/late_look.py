"""That somebody answerable looked at what came too late for the record."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.tablet_entry import TabletEntry


class LateLook(models.Model):
    """An inspector's look at a late entry, and what follows from it."""

    entry = models.OneToOneField(TabletEntry, on_delete=models.PROTECT, related_name="look")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    note = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(note=""), name="inspections_latelook_says_what")]

    def __str__(self) -> str:
        return self.note
