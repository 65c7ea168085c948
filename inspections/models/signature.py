"""What somebody drew with a finger to answer for something."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Signature(models.Model):
    """A signature as strokes: [[[x, y], ...], ...] in a box of `width` by `height`; none when typed."""

    name = models.CharField(max_length=120)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    strokes = models.JSONField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    signed_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(width__gt=0) & models.Q(height__gt=0), name="inspections_signature_box"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.signed_at:%Y-%m-%d %H:%M}"

    @property
    def is_typed(self) -> bool:
        """Whether the name was typed instead of drawn."""
        return not self.strokes
