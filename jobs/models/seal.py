"""The certificates this shop ever sealed its papers with."""

from __future__ import annotations

from django.db import models


class SealCertificate(models.Model):
    """One public certificate, kept for good: a paper sealed with it is checked against it years later."""

    fingerprint = models.CharField("SHA-256 of the certificate", max_length=64, unique=True)
    subject = models.CharField(max_length=300)
    pem = models.TextField()
    first_used_at = models.DateTimeField()

    class Meta:
        ordering = ["first_used_at"]

    def __str__(self) -> str:
        return self.subject
