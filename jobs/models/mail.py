"""Mail that is to leave the shop."""

from __future__ import annotations

from datetime import datetime

from django.db import models
from django.db.models import Q

from jobs.models.base import WorkRow, waiting_index
from jobs.models.customer import Customer


class MailState(models.TextChoices):
    """What has become of a mail, computed from its times and never stored."""

    QUEUED = "queued", "Queued"
    SENDING = "sending", "Sending"
    RETRY = "will be tried again", "Will be tried again"
    UNCERTAIN = "may have gone out", "May have gone out"
    GAVE_UP = "gave up", "Gave up"
    SENT = "sent", "Sent"


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
    #: Whom it is to or about, so that everything about somebody can be found.
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, null=True, blank=True, related_name="mails"
    )

    class Meta:
        ordering = ["-requested_at", "-pk"]
        indexes = [
            waiting_index("jobs_outgoingmail_waiting"),
            models.Index(fields=["-requested_at", "-id"], name="jobs_outgoingmail_newest"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(done_at=None) | Q(handed_over_at__isnull=False),
                name="jobs_outgoingmail_done_was_handed_over",
            ),
            models.CheckConstraint(condition=~Q(to=""), name="jobs_outgoingmail_has_address"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"

    @classmethod
    def waiting(cls, now: datetime) -> Q:
        """Return the condition of rows a worker may take now; never one whose text was handed over."""
        return super().waiting(now) & Q(handed_over_at=None)

    @classmethod
    def in_state(cls, state: str, now: datetime) -> Q:
        """Return the condition of rows in a state."""
        if state == MailState.SENT:
            return Q(done_at__isnull=False)
        if state == MailState.GAVE_UP:
            return Q(done_at=None, gave_up_at__isnull=False)
        pending = Q(done_at=None, gave_up_at=None)
        handing_over = Q(claimed_at__isnull=False, handed_over_at__gte=now - cls.LEASE)
        if state == MailState.UNCERTAIN:
            return pending & Q(handed_over_at__isnull=False) & ~handing_over
        in_hand = Q(handed_over_at=None, claimed_at__gte=now - cls.LEASE)
        if state == MailState.SENDING:
            return pending & (handing_over | in_hand)
        resting = Q(handed_over_at=None) & (Q(claimed_at=None) | Q(claimed_at__lt=now - cls.LEASE))
        tried = Q(attempts__gt=0) if state == MailState.RETRY else Q(attempts=0)
        return pending & resting & tried

    def state(self, now: datetime) -> MailState:
        """Return what has become of this mail."""
        if self.done_at:
            return MailState.SENT
        if self.gave_up_at:
            return MailState.GAVE_UP
        if self.handed_over_at:
            fresh = self.claimed_at is not None and self.handed_over_at >= now - self.LEASE
            return MailState.SENDING if fresh else MailState.UNCERTAIN
        if self.claimed_at and self.claimed_at >= now - self.LEASE:
            return MailState.SENDING
        return MailState.RETRY if self.attempts else MailState.QUEUED
