"""What falls due every year, and what the customer is told about it."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models.base import one_of
from jobs.models.installation import Installation
from jobs.models.job import Job
from jobs.models.mail import OutgoingMail


class ServiceKind(models.TextChoices):
    """What is due."""

    SWEEP = "sweep", "Chimney sweep"
    INSPECTION = "inspection", "Inspection"


class ServiceSchedule(models.Model):
    """When one service of one installation was last done and is next due, and which rule says so."""

    installation = models.ForeignKey(Installation, on_delete=models.CASCADE, related_name="services")
    kind = models.CharField(max_length=20, choices=ServiceKind.choices)
    last_done_on = models.DateField()
    next_due_on = models.DateField(db_index=True)
    source = models.JSONField(default=dict)
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["next_due_on", "pk"]
        constraints = [
            one_of("kind", ServiceKind),
            models.UniqueConstraint(fields=["installation", "kind"], name="jobs_serviceschedule_once"),
            models.CheckConstraint(
                condition=Q(next_due_on__gt=models.F("last_done_on")), name="jobs_serviceschedule_forward"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.installation}"

    def is_overdue(self, today: date) -> bool:
        """Whether the due day has passed."""
        return self.ended_on is None and self.next_due_on < today


class ReminderStep(models.TextChoices):
    """When the customer is told."""

    BEFORE_30 = "30 days before", "30 days before"
    BEFORE_7 = "7 days before", "7 days before"
    AFTER_14 = "14 days after", "14 days after"


class ReminderOutcome(models.TextChoices):
    """What was decided when the step came."""

    MAILED = "mailed", "Mail queued"
    STOPPED = "stopped", "Customer stopped reminders"
    NO_ADDRESS = "no address", "No mail address"
    BOOKED = "booked", "Already booked"
    PASSED_BY = "passed by", "A later step had already come"


class Reminder(models.Model):
    """One step of reminding for one due date. The row is the promise that the step is taken once.

    What falls due on one day at one installation goes out in one mail, so several rows may share it.
    """

    installation = models.ForeignKey(Installation, on_delete=models.CASCADE, related_name="reminders")
    service = models.CharField(max_length=20, choices=ServiceKind.choices)
    due_on = models.DateField()
    step = models.CharField(max_length=20, choices=ReminderStep.choices)
    outcome = models.CharField(max_length=20, choices=ReminderOutcome.choices)
    mail = models.ForeignKey(
        OutgoingMail, on_delete=models.PROTECT, null=True, blank=True, related_name="reminders"
    )
    decided_at = models.DateTimeField()

    class Meta:
        ordering = ["-decided_at", "-pk"]
        constraints = [
            one_of("service", ServiceKind),
            one_of("step", ReminderStep),
            one_of("outcome", ReminderOutcome),
            models.UniqueConstraint(
                fields=["installation", "service", "due_on", "step"], name="jobs_reminder_step_once"
            ),
            models.CheckConstraint(
                condition=Q(outcome="mailed", mail__isnull=False) | (~Q(outcome="mailed") & Q(mail=None)),
                name="jobs_reminder_mailed_has_mail",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.service} {self.due_on}, {self.step}"


class BookingRequest(models.Model):
    """A customer asked for a visit from their private page."""

    installation = models.ForeignKey(Installation, on_delete=models.CASCADE, related_name="booking_requests")
    service = models.CharField(max_length=20, choices=ServiceKind.choices)
    wish = models.TextField("Days and times that suit", blank=True)
    asked_at = models.DateTimeField()
    job = models.OneToOneField(
        Job, on_delete=models.PROTECT, null=True, blank=True, related_name="booking_request"
    )
    handled_at = models.DateTimeField(null=True, blank=True)
    handled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [
            one_of("service", ServiceKind),
            models.UniqueConstraint(
                fields=["installation", "service"],
                condition=Q(handled_at=None),
                name="jobs_bookingrequest_one_open",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_service_display()} asked for {self.installation}"
