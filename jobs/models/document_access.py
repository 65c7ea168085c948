"""Who was given which paper or photo, and when."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models.base import one_of
from jobs.models.customer import Customer
from jobs.models.document import Document


class AccessKind(models.TextChoices):
    """What was given out."""

    PAPER = "paper", "Paper"
    ORIGINAL = "photo original", "Photo original"
    EXPORT = "export", "Everything kept about the customer"


class AccessWay(models.TextChoices):
    """How it was asked for."""

    PAGE = "page", "On a page of the shop"
    PRIVATE_LINK = "private link", "By the private link"
    VERIFY = "verify page", "File shown to the public page"


class DocumentAccess(models.Model):
    """One time that bytes were given out, or shown to the public page. Added, never edited.

    No address of a visitor is kept: staff are known by their account, and of the others an address would tell
    little (a household's changes, a telephone's is shared) and be one more thing kept about them.
    """

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="accesses")
    kind = models.CharField(max_length=20, choices=AccessKind.choices)
    way = models.CharField(max_length=20, choices=AccessWay.choices)
    #: The paper, where it was one.
    document = models.ForeignKey(
        Document, on_delete=models.PROTECT, null=True, blank=True, related_name="accesses"
    )
    #: What it is called, such as "Photo 12 of J-0003"; no word of anybody.
    subject = models.CharField(max_length=160)
    sha256 = models.CharField(max_length=64, blank=True)
    #: Who, on a page of the shop; whoever came another way needed no account.
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "document accesses"
        indexes = [
            models.Index(fields=["customer", "-at"], name="jobs_documentaccess_customer"),
            models.Index(fields=["at"], name="jobs_documentaccess_age"),
        ]
        constraints = [
            one_of("kind", AccessKind),
            one_of("way", AccessWay),
            models.CheckConstraint(
                condition=Q(way="page", by__isnull=False) | (~Q(way="page") & Q(by=None)),
                name="jobs_documentaccess_page_has_person",
            ),
            models.CheckConstraint(
                condition=Q(document=None) | Q(kind="paper"), name="jobs_documentaccess_document_is_paper"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject}, {self.at:%Y-%m-%d %H:%M}"
