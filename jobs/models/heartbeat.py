"""A sign of life of what works in the background."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import models


class Heartbeat(models.Model):
    """When a background process was last seen."""

    SILENT_AFTER = timedelta(minutes=2)

    name = models.CharField(max_length=40, unique=True)
    seen_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name

    def is_silent(self, now: datetime) -> bool:
        """Whether nothing was heard for too long."""
        return now - self.seen_at > self.SILENT_AFTER
