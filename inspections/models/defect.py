"""What was wrong, and how it ended."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.record import Answer, StageRecord
from jobs.models.base import one_of


class Severity(models.TextChoices):
    """How grave a defect is."""

    DANGER = "danger", "Immediate danger"
    CORRECT = "correct", "Must be corrected"
    ADVICE = "advice", "Advice"


class Defect(models.Model):
    """Something that failed or stayed unknown. It closes by a passing answer or by a waiver."""

    stage = models.ForeignKey(StageRecord, on_delete=models.PROTECT, related_name="defects")
    item = models.SlugField(max_length=60, blank=True)
    description = models.TextField()
    #: As it was found. An inspector's gradings follow it; `grade` is what counts.
    severity = models.CharField(max_length=10, choices=Severity.choices, default=Severity.CORRECT)
    #: Where it is, in words.
    place = models.CharField(max_length=200, blank=True)
    #: The rule it breaks, as calcs.checks.Source in JSON; of one raised by hand the words of its person.
    rule = models.JSONField(null=True, blank=True)
    #: The defect of an earlier job that this one is here to put right.
    carried_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="carried_copies"
    )
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
            one_of("severity", Severity),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def is_open(self) -> bool:
        """Whether it still stands in the way of sign-off."""
        return self.closed_at is None

    @property
    def grade(self) -> Severity:
        """How grave it counts as: the latest grading, else as it was found."""
        gradings = list(self.gradings.all()) if self.pk is not None else []
        return Severity(gradings[-1].severity if gradings else self.severity)

    @property
    def is_raised_alone(self) -> bool:
        """Whether it was raised by hand about something no item of the checklist asks for."""
        # One on the photo of what was put right belongs to that photo.
        return self.item.startswith("defect-") and not self.item.endswith("-photo")


class DefectGrading(models.Model):
    """An inspector's say on how grave a defect is, with the reason. The latest counts; none is changed."""

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="gradings")
    severity = models.CharField(max_length=10, choices=Severity.choices)
    reason = models.TextField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            one_of("severity", Severity),
            models.CheckConstraint(condition=~Q(reason=""), name="inspections_defectgrading_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.get_severity_display()}: {self.reason}"


class CarriedDefect(models.Model):
    """That a defect left open was taken over by a further job."""

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="carries")
    job = models.ForeignKey("jobs.Job", on_delete=models.PROTECT, related_name="carried_defects")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["defect", "job"], name="inspections_carrieddefect_once_a_job"),
        ]

    def __str__(self) -> str:
        return f"{self.defect} in {self.job}"


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
