"""People who own the stoves."""

from __future__ import annotations

import secrets

from django.db import models


def new_link_token() -> str:
    """Return a token nobody guesses: 256 bits."""
    return secrets.token_urlsafe(32)


class Customer(models.Model):
    """Somebody the shop works for. `link_token` opens their private page; a new token closes the old link."""

    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    notes = models.TextField(blank=True)
    link_token = models.CharField(max_length=64, unique=True, default=new_link_token, editable=False)
    reminders_stopped_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    #: When the owner had everything personal erased; what proves the work stays.
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name
