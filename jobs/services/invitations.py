"""The mail by which somebody new chooses a password."""

from __future__ import annotations

import logging
from smtplib import SMTPException

from django.core.mail import EmailMessage
from django.template.loader import render_to_string

from jobs.errors import JobsError
from jobs.models import Shop, User

log = logging.getLogger(__name__)


def staff_invite(*, user: User, link: str, shop: Shop) -> None:
    """Send the link at once. It is not kept in the outbox, where others of the office could follow it."""
    context = {"person": user, "link": link, "shop": shop}
    subject = render_to_string("account/email/invitation_subject.txt", context)
    text = render_to_string("account/email/invitation_message.txt", context)
    try:
        EmailMessage(" ".join(subject.split()), text, to=[user.email]).send()
    except (SMTPException, OSError) as error:
        log.warning("The invitation of %s was not sent: %s", user.pk, error)
        raise JobsError(
            "mail_not_sent",
            f"The mail to {user.email} could not be sent. Set a password here, or send the link later.",
        ) from error
