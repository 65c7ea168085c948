"""What was wrong, and how it ended."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.record import Answer, StageRecord


class Defect(models.Model):
    """Something that failed or stayed unknown. It closes by a passing answer or by a waiver."""

    stage = models.ForeignKey(StageRecord, on_delete=models.PROTECT, related_name="defects")
    item = models.SlugField(max_length=60, blank=True)
    description = models.TextField()
    opened_by_answer = models.OneToOneField(
        Answer, on_delete=models.PROTECT, null=True, blank=True, related_name="opened_defect"
    )
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField()
    closed_by_answer = models.ForeignKey(
        Answer, on_delete=models.PROTECT, null=True, blank=True, related_name="closed_defects"
    )
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        indexes = [
            models.Index(fields=["opened_at"], condition=Q(closed_at=None), name="inspections_defect_open")
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["stage", "item"],
                condition=Q(closed_at=None) & ~Q(item=""),
                name="inspections_defect_one_open",
            ),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def is_open(self) -> bool:
        """Whether it still stands in the way of sign-off."""
        return self.closed_at is None

    @property
    def is_raised_alone(self) -> bool:
        """Whether it was raised by hand about something no item of the checklist asks for."""
        # One on the photo of what was put right belongs to that photo.
        return self.item.startswith("defect-") and not self.item.endswith("-photo")


class Waiver(models.Model):
    """An inspector's acceptance of a defect, with the authority it rests on. Printed on the certificate."""

    defect = models.OneToOneField(Defect, on_delete=models.PROTECT, related_name="waiver")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    authority = models.CharField(max_length=160)
    reason = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(authority="") & ~Q(reason=""), name="inspections_waiver_says_why"
            )
        ]

    def __str__(self) -> str:
        return f"{self.authority}: {self.reason}"
