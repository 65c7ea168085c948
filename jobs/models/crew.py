"""Who goes out."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models


class Crew(models.Model):
    """One or two people and a van."""

    name = models.CharField(max_length=60, unique=True)
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Technician(models.Model):
    """Somebody's trade side: their crew and credentials."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="technician")
    crew = models.ForeignKey(
        Crew, on_delete=models.SET_NULL, null=True, blank=True, related_name="technicians"
    )

    class Meta:
        ordering = ["user__name"]

    def __str__(self) -> str:
        return self.user.name


class Credential(models.Model):
    """A licence, registration or certificate that expires."""

    technician = models.ForeignKey(Technician, on_delete=models.CASCADE, related_name="credentials")
    name = models.CharField(max_length=120)
    number = models.CharField(max_length=60, blank=True)
    issuer = models.CharField(max_length=120, blank=True)
    expires_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["technician", "name", "number"], name="jobs_credential_once")
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.number}".strip()

    def is_expired(self, today: date) -> bool:
        """Whether the last valid day has passed."""
        return self.expires_on is not None and self.expires_on < today
