"""What a tablet sent and the server keeps: the receipt of every entry, on time or late."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.defect import Defect
from inspections.models.photo import Photo
from inspections.models.record import Answer, AnswerOutcome
from jobs.models import Job
from jobs.models.base import one_of


class EntryKind(models.TextChoices):
    """What a person entered on a tablet."""

    BEGIN = "begin", "Begin"
    ANSWER = "answer", "Answer"
    PHOTO = "photo", "Photo"
    SIGNATURE = "signature", "Signature"
    DEFECT = "defect", "Defect"
    SIGN_OFF = "sign_off", "Sign-off"


class EntryOutcome(models.TextChoices):
    """Whether an entry went into the record, or came too late and is kept for the inspector."""

    ACCEPTED = "accepted", "Accepted"
    LATE = "late", "Late"


class TabletEntry(models.Model):
    """One entry of a tablet with the answer it got, never changed. Sent again, it gets the same answer."""

    entry = models.UUIDField(unique=True)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="tablet_entries")
    kind = models.CharField(max_length=10, choices=EntryKind.choices)
    stage = models.SlugField(max_length=60, blank=True, db_index=False)
    item = models.SlugField(max_length=60, blank=True, db_index=False)
    #: The entry as it was sent.
    raw = models.JSONField(default=dict)
    #: Hash of what was entered: by it the same entry is told from another under the same number.
    digest = models.CharField(max_length=64)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=120, blank=True)
    app = models.CharField(max_length=60, blank=True)
    #: On the tablet's clock, which decides nothing.
    taken_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField()
    #: How far the tablet's clock was ahead of the server's [s].
    clock_skew = models.FloatField(null=True, blank=True)
    outcome = models.CharField(max_length=10, choices=EntryOutcome.choices)
    code = models.SlugField(max_length=60, blank=True, db_index=False)
    sentence = models.TextField(blank=True)
    verdict = models.CharField(max_length=10, choices=AnswerOutcome.choices, blank=True)
    tablet_verdict = models.CharField(max_length=10, blank=True)
    said = models.TextField(blank=True)
    margin = models.CharField(max_length=120, blank=True)
    answer = models.OneToOneField(
        Answer, on_delete=models.PROTECT, null=True, blank=True, related_name="tablet_entry"
    )
    defect = models.OneToOneField(
        Defect, on_delete=models.PROTECT, null=True, blank=True, related_name="tablet_entry"
    )
    photo = models.OneToOneField(
        Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="tablet_entry"
    )
    brought_in_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "tablet entries"
        indexes = [
            models.Index(fields=["job"], condition=Q(outcome="late"), name="inspections_tabletentry_late")
        ]
        constraints = [
            one_of("kind", EntryKind),
            one_of("outcome", EntryOutcome),
            models.CheckConstraint(
                condition=Q(verdict="") | Q(verdict__in=AnswerOutcome.values),
                name="inspections_tabletentry_verdict_known",
            ),
            models.CheckConstraint(
                condition=~Q(outcome="late") | (Q(answer=None, defect=None) & ~Q(code="")),
                name="inspections_tabletentry_late_says_why",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.item or self.stage}: {self.outcome}"

    @property
    def is_late(self) -> bool:
        """Whether it came too late for the record."""
        return self.outcome == EntryOutcome.LATE

    @property
    def text(self) -> str:
        """What was typed: an answer, a defect's description, remarks."""
        return str(self.raw.get("text", ""))

    @property
    def answer_device(self) -> str:
        """The tablet as its answers name it."""
        return f"tablet {self.device}".strip()

    @property
    def is_looked_at(self) -> bool:
        """Whether somebody answerable has looked at it."""
        return getattr(self, "look", None) is not None

    @property
    def differs(self) -> bool:
        """Whether the tablet had come to another verdict than the server."""
        return bool(self.verdict and self.tablet_verdict) and self.verdict != self.tablet_verdict
