"""Papers the worker renders."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import WorkRow, one_of, waiting_index
from jobs.models.job import Job
from jobs.models.seal import SealCertificate


class DocumentKind(models.TextChoices):
    """What a paper is for."""

    WORK_PACK = "work pack", "Work pack"
    CERTIFICATE = "closing certificate", "Closing certificate"
    REPORT = "inspection report", "Inspection report"
    NOTICE = "do-not-use notice", "Do-not-use notice"
    NOTICE_PLATE = "notice plate", "Notice plate"
    FLUE_LABEL = "flue label", "Flue label"
    CARE_SHEET = "care sheet", "Care sheet"
    HAND_OVER = "hand-over pack", "Hand-over pack"


#: Kinds of which each paper is a certificate: numbered, sealed, with the record inside.
NUMBERED = frozenset({DocumentKind.CERTIFICATE, DocumentKind.REPORT})


class DocumentState(models.TextChoices):
    """Where a paper stands, computed and never stored."""

    QUEUED = "queued", "Queued"
    IN_HAND = "being made", "Being made"
    RETRY = "will be tried again", "Will be tried again"
    FAILED = "failed", "Failed"
    READY = "ready", "Ready"
    ERASED = "erased", "Erased"


def document_path(document: Document, filename: str) -> str:
    """Return where a rendered paper is kept."""
    return f"documents/{document.job_id}/{filename}"


class Document(WorkRow):
    """One paper, rendered once from a frozen context. The file's hash proves it was not altered."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="documents")
    kind = models.CharField(max_length=30, choices=DocumentKind.choices)
    title = models.CharField(max_length=160)
    context = models.JSONField()
    file = models.FileField(upload_to=document_path, blank=True, max_length=200)
    sha256 = models.CharField(max_length=64, blank=True)
    for_customer = models.BooleanField(default=False)
    sealed_with = models.ForeignKey(
        SealCertificate, on_delete=models.PROTECT, null=True, blank=True, related_name="documents"
    )
    #: When the time-stamp server saw the seal; empty where none was asked or none answered.
    stamped_at = models.DateTimeField(null=True, blank=True)
    #: What was wanting when it was sealed, in a sentence.
    seal_note = models.TextField(blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-requested_at", "-pk"]
        indexes = [waiting_index("jobs_document_waiting")]
        constraints = [
            one_of("kind", DocumentKind),
            models.CheckConstraint(
                condition=Q(done_at=None) | ~Q(sha256=""), name="jobs_document_done_has_hash"
            ),
            models.CheckConstraint(
                condition=Q(stamped_at=None) | ~Q(sealed_with=None), name="jobs_document_stamp_needs_seal"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def state(self) -> DocumentState:
        """Where it stands."""
        if self.is_erased:
            return DocumentState.ERASED
        if self.done_at:
            return DocumentState.READY
        if self.gave_up_at:
            return DocumentState.FAILED
        if self.claimed_at:
            return DocumentState.IN_HAND
        return DocumentState.RETRY if self.last_error else DocumentState.QUEUED

    @property
    def is_erased(self) -> bool:
        """Whether its file was erased with everything personal of the customer; its hash stays."""
        return self.done_at is not None and not self.file

    @property
    def is_pending(self) -> bool:
        """Whether it will be ready, or fail, without anybody doing anything."""
        return self.done_at is None and self.gave_up_at is None

    @property
    def can_retry(self) -> bool:
        """Whether it failed and nobody has it in hand."""
        return self.done_at is None and self.claimed_at is None and bool(self.last_error)
