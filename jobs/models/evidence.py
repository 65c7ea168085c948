"""The evidence log: every event of a job in a chain of hashes, and what of it may be forgotten."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.evidence_chain import event_text
from jobs.models.customer import Customer
from jobs.models.job import Job


class EvidenceEvent(models.Model):
    """One link of a job's chain. Added, never changed; its hash holds the one before it."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="evidence")
    #: 1, 2, 3 ... without gaps.
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=40)
    #: The row it speaks of, by a name that stays: "answer:<entry>", "document:12".
    subject = models.CharField(max_length=80)
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    #: The actor's name as it was at the time.
    by_name = models.CharField(max_length=120, blank=True)
    device = models.CharField(max_length=120, blank=True)
    #: Canonical JSON, exactly as it is hashed.
    facts = models.TextField()
    #: SHA-256 of salt and content of the private part; empty where there is none.
    private_commitment = models.CharField(max_length=64, blank=True)
    previous = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="jobs_evidenceevent_number_once"),
            models.CheckConstraint(condition=Q(number__gt=0), name="jobs_evidenceevent_number_gt0"),
            models.CheckConstraint(
                condition=Q(by=None, by_name="") | (Q(by__isnull=False) & ~Q(by_name="")),
                name="jobs_evidenceevent_actor_named",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.kind}: {self.subject}"

    @property
    def hashed_text(self) -> str:
        """The text of which `hash` must be the SHA-256."""
        return event_text(
            job=Job(pk=self.job_id).number,
            number=self.number,
            kind=self.kind,
            subject=self.subject,
            at=self.at,
            by=(self.by_id, self.by_name) if self.by_id else None,
            device=self.device,
            facts=self.facts,
            private=self.private_commitment,
            previous=self.previous,
        )


class EvidencePrivate(models.Model):
    """The part of an event that may have to be forgotten. The chain holds only its commitment."""

    event = models.OneToOneField(EvidenceEvent, on_delete=models.PROTECT, related_name="private")
    salt = models.CharField(max_length=64)
    #: Canonical JSON, exactly as it is hashed behind the salt.
    content = models.TextField()

    class Meta:
        ordering = ["event"]

    def __str__(self) -> str:
        return f"Private part of {self.event_id}"


class Erasure(models.Model):
    """That a customer was forgotten on purpose. Only it lets private parts of their jobs go. Never undone."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="erasures")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="jobs_erasure_says_why")]

    def __str__(self) -> str:
        return f"Erasure {self.pk}, {self.at:%Y-%m-%d}"
