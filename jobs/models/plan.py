"""The computed plan, kept as it was so that it can be shown again years later."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from jobs.models.installation import Installation
from jobs.models.survey import Survey


class Plan(models.Model):
    """One revision of a plan: calcs' Plan as JSON, inputs included. Never changed once made."""

    installation = models.ForeignKey(Installation, on_delete=models.CASCADE, related_name="plans")
    revision = models.PositiveIntegerField()
    survey = models.ForeignKey(Survey, on_delete=models.PROTECT, related_name="plans")
    rule_book = models.CharField(max_length=10)
    rule_book_edition = models.CharField(max_length=120)
    schema = models.PositiveIntegerField()
    data = models.JSONField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["installation", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["installation", "revision"], name="jobs_plan_revision_once")
        ]

    def __str__(self) -> str:
        return f"Plan {self.revision} of {self.installation}"
