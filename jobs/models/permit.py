"""What the authority having jurisdiction allowed."""

from __future__ import annotations

from django.db import models

from jobs.models.base import one_of
from jobs.models.job import Job


class PermitOutcome(models.TextChoices):
    """What came of the authority's final inspection."""

    PENDING = "pending", "Pending"
    PASSED = "passed", "Passed"
    FAILED = "failed", "Failed"
    NOT_REQUIRED = "not required", "No permit required"


class Permit(models.Model):
    """A permit or notice for one job."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="permits")
    authority = models.CharField(max_length=120)
    number = models.CharField(max_length=60, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    final_inspection_on = models.DateField(null=True, blank=True)
    outcome = models.CharField(max_length=20, choices=PermitOutcome.choices, default=PermitOutcome.PENDING)

    class Meta:
        ordering = ["pk"]
        constraints = [one_of("outcome", PermitOutcome)]

    def __str__(self) -> str:
        return f"{self.authority} {self.number}".strip()
