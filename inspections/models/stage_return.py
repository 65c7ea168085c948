"""A signed stage that an inspector sent back to the crew."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inspections.models.record import StageRecord
from inspections.models.signature import Signature


class StageReturn(models.Model):
    """Keeps the signature a stage had when it was sent back; the crew corrects and signs it again."""

    stage = models.ForeignKey(StageRecord, on_delete=models.PROTECT, related_name="returns")
    signature = models.OneToOneField(Signature, on_delete=models.PROTECT, related_name="stage_return")
    signed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signed_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="inspections_stagereturn_says_why"),
            models.CheckConstraint(
                condition=Q(at__gte=F("signed_at")), name="inspections_stagereturn_after_signing"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stage} sent back: {self.reason}"
