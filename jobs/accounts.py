"""How accounts come to be: the owner adds staff; nobody signs up."""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class StaffAccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]
    """Closes sign-up."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Return False: the owner adds staff."""
        return False

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Do nothing: people are known by their mail address."""
