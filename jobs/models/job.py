"""A piece of work and its way from enquiry to closed."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from jobs.models.base import one_of
from jobs.models.installation import Installation
from jobs.models.plan import Plan


class JobKind(models.TextChoices):
    """What is done."""

    NEW_INSTALLATION = "new installation", "New installation"
    ANNUAL_SWEEP = "annual sweep", "Annual sweep"
    INSPECTION_1 = "inspection level 1", "Inspection, level 1"
    INSPECTION_2 = "inspection level 2", "Inspection, level 2"
    INSPECTION_3 = "inspection level 3", "Inspection, level 3"
    INSPECTION_AFTER_FIRE = "inspection after fire", "Inspection after a chimney fire"
    INSPECTION_ON_SALE = "inspection on sale", "Inspection on sale of the house"
    REPAIR = "repair", "Repair"


#: Kinds that look at what is there and end in a report; the others end in a certificate of what was done.
REPORTED = frozenset(
    {
        JobKind.ANNUAL_SWEEP,
        JobKind.INSPECTION_1,
        JobKind.INSPECTION_2,
        JobKind.INSPECTION_3,
        JobKind.INSPECTION_AFTER_FIRE,
        JobKind.INSPECTION_ON_SALE,
    }
)


class JobStatus(models.TextChoices):
    """Where the work stands."""

    ENQUIRY = "enquiry", "Enquiry"
    PLANNED = "planned", "Planned"
    SCHEDULED = "scheduled", "Scheduled"
    ON_SITE = "on site", "On site"
    READY = "ready for sign-off", "Ready for sign-off"
    CLOSED = "closed", "Closed"
    CANCELLED = "cancelled", "Cancelled"


#: Every allowed change of status; nothing else moves a job.
TRANSITIONS: dict[str, frozenset[str]] = {
    JobStatus.ENQUIRY: frozenset({JobStatus.PLANNED, JobStatus.CANCELLED}),
    JobStatus.PLANNED: frozenset({JobStatus.SCHEDULED, JobStatus.CANCELLED}),
    JobStatus.SCHEDULED: frozenset({JobStatus.PLANNED, JobStatus.ON_SITE, JobStatus.CANCELLED}),
    JobStatus.ON_SITE: frozenset({JobStatus.READY, JobStatus.CANCELLED}),
    JobStatus.READY: frozenset({JobStatus.ON_SITE, JobStatus.CLOSED}),
    JobStatus.CLOSED: frozenset({JobStatus.ON_SITE}),
    JobStatus.CANCELLED: frozenset(),
}
#: Where a job rests. A closed one may be reopened; a cancelled one never is.
ENDED = frozenset({JobStatus.CLOSED, JobStatus.CANCELLED})
OPEN_STATUSES = [status for status in TRANSITIONS if status not in ENDED]


class Job(models.Model):
    """One piece of work at one installation. Late and overdue are asked, never stored."""

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="jobs")
    kind = models.CharField(max_length=30, choices=JobKind.choices)
    status = models.CharField(max_length=20, choices=JobStatus.choices, default=JobStatus.ENQUIRY)
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs")
    note = models.TextField("What is wanted", blank=True)
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    created_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-created_at", "-pk"]
        constraints = [
            one_of("kind", JobKind),
            one_of("status", JobStatus),
            models.CheckConstraint(
                condition=models.Q(status=JobStatus.CLOSED, closed_at__isnull=False)
                | (~models.Q(status=JobStatus.CLOSED) & models.Q(closed_at=None)),
                name="jobs_job_closed_has_time",
            ),
        ]
        indexes = [
            models.Index(fields=["status", "created_at"], name="jobs_job_status"),
            models.Index(fields=["-created_at", "-id"], name="jobs_job_newest"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.get_kind_display()}"

    @property
    def number(self) -> str:
        """The job's number as people say it."""
        return f"J-{self.pk:04d}"

    @property
    def is_open(self) -> bool:
        """Whether work on it may still go on."""
        return self.status in OPEN_STATUSES


class JobStatusChange(models.Model):
    """One change of status: the audit trail of a job."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="status_changes")
    old = models.CharField(max_length=20, blank=True)
    new = models.CharField(max_length=20, choices=JobStatus.choices)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    reason = models.TextField(blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "pk"]
        constraints = [one_of("new", JobStatus)]

    def __str__(self) -> str:
        return f"{self.old or 'new'} to {self.new}"
