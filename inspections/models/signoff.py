"""The end of a job: who answers for it, the certificate, and what took either back."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inspections.models.record import SiteRecord
from inspections.models.signature import Signature
from inspections.verify_codes import verify_code, verify_key_new
from jobs.models import Document, DocumentKind


class SignOff(models.Model):
    """Somebody answerable signs the whole record. A record reopened since is signed once more.

    A record has one first sign-off, each is reopened once at most, and each reopening is followed by one at
    most: so one at most is in force, whoever writes at once.
    """

    record = models.ForeignKey(SiteRecord, on_delete=models.PROTECT, related_name="sign_offs")
    #: The reopening after which this one was signed; none for a record's first.
    after = models.OneToOneField(
        "SignOffReopening", on_delete=models.PROTECT, null=True, blank=True, related_name="signed_again"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signature = models.OneToOneField(Signature, on_delete=models.PROTECT, related_name="sign_off")
    own_work = models.BooleanField(
        default=False, help_text="Signed by whoever did the work, in a one-person shop."
    )
    remarks = models.TextField(blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["record"], condition=Q(after=None), name="inspections_signoff_one_first"
            )
        ]

    def __str__(self) -> str:
        return f"{self.record} signed off by {self.by}"

    @property
    def is_in_force(self) -> bool:
        """Whether the job was not reopened since."""
        return getattr(self, "reopening", None) is None


class SignOffReopening(models.Model):
    """That a closed job was opened again, by whom and why. It ends a sign-off, which is kept as it was."""

    sign_off = models.OneToOneField(SignOff, on_delete=models.PROTECT, related_name="reopening")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="inspections_signoffreopening_says_why")
        ]

    def __str__(self) -> str:
        return f"{self.sign_off.record} reopened: {self.reason}"


class Certificate(models.Model):
    """A numbered certificate or report. Issued once, never edited; a new one supersedes it."""

    number = models.PositiveIntegerField(unique=True)
    sign_off = models.ForeignKey(SignOff, on_delete=models.PROTECT, related_name="certificates")
    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="certificate")
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField()
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )
    reason = models.TextField("Why a new one was issued", blank=True)
    #: The part of the verification code that nobody guesses; who has the paper has it.
    verify_key = models.CharField(max_length=16, unique=True, default=verify_key_new, editable=False)

    class Meta:
        ordering = ["-number"]
        constraints = [
            models.CheckConstraint(condition=Q(number__gt=0), name="inspections_certificate_number_gt0"),
            models.CheckConstraint(
                condition=Q(supersedes=None) | ~Q(reason=""), name="inspections_certificate_new_says_why"
            ),
            models.CheckConstraint(
                condition=Q(supersedes=None) | ~Q(supersedes=F("id")),
                name="inspections_certificate_not_itself",
            ),
        ]

    def __str__(self) -> str:
        return self.serial

    @property
    def serial(self) -> str:
        """The number as printed."""
        return f"FW-{self.number:06d}"

    @property
    def paper(self) -> str:
        """What the paper is called: a certificate of what was built, or a report of what was found."""
        return "Inspection report" if self.document.kind == DocumentKind.REPORT else "Certificate"

    @property
    def noun(self) -> str:
        """What the paper is called in the middle of a sentence."""
        return "report" if self.document.kind == DocumentKind.REPORT else "certificate"

    @property
    def verify_code(self) -> str:
        """What the verification page is asked for."""
        return verify_code(self.serial, self.verify_key)


class CertificateWithdrawal(models.Model):
    """That a certificate no longer counts, although none took its place, and why. Never undone."""

    certificate = models.OneToOneField(Certificate, on_delete=models.PROTECT, related_name="withdrawal")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="inspections_certificatewithdrawal_says_why")
        ]

    def __str__(self) -> str:
        return f"{self.certificate} withdrawn: {self.reason}"
