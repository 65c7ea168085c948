"""The notice that a stove is not to be used."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.models.defect import Defect
from jobs.models import Document, OutgoingMail


class DoNotUseNotice(models.Model):
    """One spell of danger: the paper and the mails that went out at once, and how it ended.

    Whether a stove may be used is asked of its defects, not of this row.
    """

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="notices")
    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="+")
    #: Empty where the customer has no address for mail: somebody hands it over.
    mail = models.OneToOneField(
        OutgoingMail, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    office_mail = models.OneToOneField(
        OutgoingMail, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField()
    #: Who gave it by hand or told it by telephone, and when.
    told_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    told_at = models.DateTimeField(null=True, blank=True)
    lifted_at = models.DateTimeField(null=True, blank=True)
    #: By what evidence, in a sentence.
    lifted_by_what = models.TextField(blank=True)
    lifted_mail = models.OneToOneField(
        OutgoingMail, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["defect"], condition=Q(lifted_at=None), name="inspections_donotusenotice_one_out"
            ),
            models.CheckConstraint(
                condition=Q(lifted_at=None) | ~Q(lifted_by_what=""),
                name="inspections_donotusenotice_lifted_says_why",
            ),
        ]
        indexes = [
            models.Index(fields=["issued_at"], condition=Q(lifted_at=None), name="inspections_notice_out")
        ]

    def __str__(self) -> str:
        return f"Do-not-use notice: {self.defect}"

    @property
    def is_out(self) -> bool:
        """Whether it still holds."""
        return self.lifted_at is None

    @property
    def wants_telling(self) -> bool:
        """Whether no mail told the customer and nobody has said that they did."""
        return self.is_out and self.mail_id is None and self.told_at is None
