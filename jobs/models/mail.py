"""Mail that is to leave the shop."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import WorkRow


class OutgoingMail(WorkRow):
    """One mail to one address, with the Message-ID it keeps through every attempt.

    `handed_over_at` is written just before the server is given the text. A row that has it but not
    `done_at` may or may not have gone out: nobody sends it again but a person.
    """

    message_id = models.CharField(max_length=200, unique=True)
    to = models.EmailField()
    subject = models.CharField(max_length=200)
    text = models.TextField()
    html = models.TextField(blank=True)
    headers = models.JSONField(default=dict, blank=True)
    handed_over_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-requested_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(done_at=None) | Q(handed_over_at__isnull=False),
                name="jobs_outgoingmail_done_was_handed_over",
            ),
            models.CheckConstraint(condition=~Q(to=""), name="jobs_outgoingmail_has_address"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"
