"""The record of one job's site work: which checklist, which stages, what was answered."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.photo import Photo
from inspections.models.signature import Signature
from jobs.models import Job, Plan
from jobs.models.base import one_of


class SiteRecord(models.Model):
    """What one job proves. It pins the checklist's version and the plan it began with."""

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="site_record")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    checklist = models.CharField(max_length=60)
    checklist_version = models.PositiveIntegerField()
    checklist_digest = models.CharField(max_length=64, blank=True)
    #: What decides which items apply, as it was at the start: rule book, fuel, roof covering ...
    facts = models.JSONField(default=dict)
    #: Limits as they held at the start: the plan's, or the rule book's where a job has no plan.
    limits = models.JSONField()
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"Record of {self.job}"


class StageRecord(models.Model):
    """One stage of a record. Signing freezes it."""

    record = models.ForeignKey(SiteRecord, on_delete=models.PROTECT, related_name="stages")
    key = models.SlugField(max_length=60)
    position = models.PositiveSmallIntegerField()
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    signature = models.OneToOneField(
        Signature, on_delete=models.PROTECT, null=True, blank=True, related_name="stage"
    )

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["record", "key"], name="inspections_stage_once"),
            models.UniqueConstraint(fields=["record", "position"], name="inspections_stage_position_once"),
            models.CheckConstraint(
                condition=Q(signed_at=None, signed_by=None, signature=None)
                | Q(signed_at__isnull=False, signed_by__isnull=False, signature__isnull=False),
                name="inspections_stage_signed_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} of {self.record}"

    @property
    def is_signed(self) -> bool:
        """Whether the stage is frozen."""
        return self.signed_at is not None


class AnswerKind(models.TextChoices):
    """What sort of thing an item asks for."""

    CONFIRM = "confirm", "Confirm"
    MEASURE = "measure", "Measure"
    PHOTO = "photo", "Photo"
    CHOOSE = "choose", "Choose"
    NOTE = "note", "Note"


class AnswerOutcome(models.TextChoices):
    """Verdict of an answer. Recorded is for notes and choices that judge nothing."""

    PASS = "pass", "Pass"
    FAIL = "fail", "Fail"
    UNKNOWN = "unknown", "Unknown"
    RECORDED = "recorded", "Recorded"


class Answer(models.Model):
    """One entry for one item, never changed; the latest one of an item counts."""

    entry = models.UUIDField(unique=True, default=uuid.uuid4)
    stage = models.ForeignKey(StageRecord, on_delete=models.PROTECT, related_name="answers")
    item = models.SlugField(max_length=60)
    kind = models.CharField(max_length=10, choices=AnswerKind.choices)
    raw_text = models.TextField(blank=True)
    value = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    limit = models.JSONField(null=True, blank=True)
    outcome = models.CharField(max_length=10, choices=AnswerOutcome.choices)
    margin = models.FloatField(null=True, blank=True)
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="answers")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=120, blank=True)
    device_time = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField()
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            one_of("kind", AnswerKind),
            one_of("outcome", AnswerOutcome),
            models.CheckConstraint(
                condition=Q(photo=None) | Q(kind="photo"), name="inspections_answer_photo_kind"
            ),
        ]
        indexes = [models.Index(fields=["stage", "item"], name="inspections_answer_item")]

    def __str__(self) -> str:
        return f"{self.item}: {self.raw_text or self.outcome}"
