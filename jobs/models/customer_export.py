"""Everything kept about one customer, in one file."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models.base import WorkRow, waiting_index
from jobs.models.customer import Customer


class ExportState(models.TextChoices):
    """Where an export stands, computed and never stored."""

    QUEUED = "queued", "Queued"
    IN_HAND = "being made", "Being made"
    RETRY = "will be tried again", "Will be tried again"
    FAILED = "failed", "Failed"
    READY = "ready", "Ready"
    GONE = "gone", "Gone"


def export_path(export: CustomerExport, filename: str) -> str:
    """Return where an export is kept."""
    return f"exports/{filename}"


class CustomerExport(WorkRow):
    """One ZIP of all rows and files about a customer. It is a second copy of them, so it does not stay."""

    KEPT = timedelta(days=7)

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="exports")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    file = models.FileField(upload_to=export_path, blank=True, max_length=200)
    sha256 = models.CharField(max_length=64, blank=True)
    size = models.PositiveBigIntegerField(default=0)
    #: When its file was removed.
    dropped_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-requested_at", "-pk"]
        indexes = [waiting_index("jobs_customerexport_waiting")]
        constraints = [
            models.CheckConstraint(
                condition=Q(done_at=None) | ~Q(sha256=""), name="jobs_customerexport_done_has_hash"
            ),
            models.CheckConstraint(
                condition=Q(dropped_at=None) | Q(file=""), name="jobs_customerexport_dropped_has_no_file"
            ),
            models.UniqueConstraint(
                fields=["customer"],
                condition=Q(done_at=None, gave_up_at=None),
                name="jobs_customerexport_one_open",
            ),
        ]

    def __str__(self) -> str:
        return f"Everything about customer {self.customer_id}, {self.requested_at:%Y-%m-%d}"

    @property
    def state(self) -> ExportState:
        """Where it stands."""
        if self.dropped_at:
            return ExportState.GONE
        if self.done_at:
            return ExportState.READY
        if self.gave_up_at:
            return ExportState.FAILED
        if self.claimed_at:
            return ExportState.IN_HAND
        return ExportState.RETRY if self.last_error else ExportState.QUEUED

    @property
    def is_pending(self) -> bool:
        """Whether it will be ready, or fail, without anybody doing anything."""
        return self.done_at is None and self.gave_up_at is None

    @property
    def gone_after(self) -> datetime | None:
        """From when on its file may be removed; None while there is none."""
        return self.done_at + self.KEPT if self.done_at else None
