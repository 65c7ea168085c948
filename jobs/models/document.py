"""Papers the worker renders."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import WorkRow, one_of
from jobs.models.job import Job


class DocumentKind(models.TextChoices):
    """What a paper is for."""

    WORK_PACK = "work pack", "Work pack"
    CERTIFICATE = "closing certificate", "Closing certificate"


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

    class Meta:
        ordering = ["-requested_at", "-pk"]
        constraints = [
            one_of("kind", DocumentKind),
            models.CheckConstraint(
                condition=Q(done_at=None) | ~Q(sha256=""), name="jobs_document_done_has_hash"
            ),
        ]

    def __str__(self) -> str:
        return self.title
