"""How accounts come to be: the owner adds staff; nobody signs up."""

from __future__ import annotations

import logging
from smtplib import SMTPException
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter, get_adapter
from allauth.account.forms import default_token_generator
from allauth.account.utils import user_pk_to_url_str
from allauth.core.exceptions import ImmediateHttpResponse
from django.http import HttpRequest
from django.shortcuts import render

from jobs.models import User

log = logging.getLogger(__name__)


class StaffAccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]
    """Closes sign-up."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Return False: the owner adds staff."""
        return False

    def populate_username(self, request: HttpRequest, user: Any) -> None:
        """Do nothing: people are known by their mail address."""

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Send a mail about an account at once; when the mail server is away, say what else helps."""
        try:
            super().send_mail(template_prefix, email, context)
        except (SMTPException, OSError) as error:
            log.warning("A mail about an account was not sent: %s", error)
            page = render(self.request, "account/mail_not_sent.html", status=503)
            raise ImmediateHttpResponse(page) from error


def password_link(request: HttpRequest, user: User) -> str:
    """Return the link by which somebody chooses a password; it works once and for a few days."""
    key = f"{user_pk_to_url_str(user)}-{default_token_generator.make_token(user)}"
    link: str = get_adapter(request).get_reset_password_from_key_url(key)
    return link
