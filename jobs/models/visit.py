"""When a crew goes to a job."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import models
from django.db.models import F, Q

from jobs.models.crew import Crew
from jobs.models.job import Job


class Visit(models.Model):
    """A crew at a house from one time to another. A cancelled visit stays for the record."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="visits")
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, related_name="visits")
    starts_at = models.DateTimeField(db_index=True)
    ends_at = models.DateTimeField()
    note = models.TextField(blank=True)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gt=F("starts_at")), name="jobs_visit_ends_after_start"
            )
        ]

    def __str__(self) -> str:
        return f"{self.crew} at {self.job}"

    @property
    def local_start(self) -> datetime:
        """Start on the clock of the house."""
        return self.starts_at.astimezone(ZoneInfo(self.job.installation.site.time_zone))

    @property
    def local_end(self) -> datetime:
        """End on the clock of the house."""
        return self.ends_at.astimezone(ZoneInfo(self.job.installation.site.time_zone))

    def is_late(self, now: datetime) -> bool:
        """Whether the crew should have been there and the job still only waits for it."""
        return self.cancelled_at is None and self.starts_at < now and self.job.status == "scheduled"
