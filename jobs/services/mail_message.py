"""The text of a mail as it travels: the same bytes at every attempt."""

from __future__ import annotations

import hashlib
import re
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import EmailPolicy
from email.utils import format_datetime, parseaddr

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from jobs.errors import JobsError
from jobs.models import OutgoingMail, Shop

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_HEADER_NAME = re.compile(r"[A-Za-z][A-Za-z0-9-]*")
#: Headers that follow from the row itself; nobody may set them beside it.
_OWN_HEADERS = {"bcc", "cc", "date", "from", "message-id", "mime-version", "sender", "subject", "to"}
#: RFC 5322, 2.1.1: a line must not be longer.
_LONGEST_LINE = 998


class _MailPolicy(EmailPolicy):
    """Leaves List-Unsubscribe as it is.

    The library folds a long word without spaces into encoded words, and no mail program finds the address
    in those; RFC 2369 has the addresses in plain text.
    """

    def fold_binary(self, name: str, value: str) -> bytes:
        if name.lower() == "list-unsubscribe":
            return f"{name}: {value.replace(', ', ',' + self.linesep + ' ')}{self.linesep}".encode("ascii")
        return super().fold_binary(name, value)


_POLICY = _MailPolicy(linesep="\r\n")


def address_check(text: str) -> str:
    """Return a mail address, stripped; refuse what is none."""
    address = text.strip()
    try:
        validate_email(address)
        ascii_address(address)
    except (ValidationError, UnicodeError) as error:
        raise JobsError(
            "bad_address", f"“{one_line(address)}” is not a mail address. Correct it and try again."
        ) from error
    return address


def one_line(text: str, longest: int = 200) -> str:
    """Return a text as one line without control characters, cut with an ellipsis when too long."""
    line = " ".join(_CONTROL.sub(" ", text).split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def headers_check(headers: dict[str, str]) -> dict[str, str]:
    """Return further headers; refuse any that could smuggle in another line or stand for the row's own."""
    for name, value in headers.items():
        allowed = _HEADER_NAME.fullmatch(name) and name.lower() not in _OWN_HEADERS
        if not allowed or name.lower().startswith("content-"):
            raise JobsError("bad_header", f"A mail cannot be given the header {one_line(name)!r}.")
        if _CONTROL.search(value) or len(name) + len(value) + 2 > _LONGEST_LINE:
            raise JobsError("bad_header", f"The header {name} must be one line of at most 998 characters.")
    return dict(headers)


def sender_address() -> str:
    """Return the bare address that mails leave from."""
    return ascii_address(parseaddr(settings.DEFAULT_FROM_EMAIL)[1])


def receiver_address(mail: OutgoingMail) -> str:
    """Return the bare address as the mail server is told it."""
    return ascii_address(mail.to)


def mail_bytes(mail: OutgoingMail) -> bytes:
    """Return the mail with CRLF line ends and seven-bit lines, as any server takes it."""
    message = EmailMessage(policy=_POLICY)
    given_name = parseaddr(settings.DEFAULT_FROM_EMAIL)[0]
    name = one_line(given_name or Shop.current().name, longest=120)
    message["From"] = Address(display_name=name, addr_spec=sender_address())
    message["To"] = Address(addr_spec=receiver_address(mail))
    message["Subject"] = one_line(mail.subject)
    message["Date"] = format_datetime(mail.requested_at)
    message["Message-ID"] = mail.message_id
    for header, value in headers_check(mail.headers).items():
        message[header] = value
    message.set_content(mail.text, cte="quoted-printable")
    if mail.html:
        message.add_alternative(mail.html, subtype="html", cte="quoted-printable")
        # A boundary made of the Message-ID keeps the bytes the same at every attempt.
        message.set_boundary(f"part-{hashlib.sha256(mail.message_id.encode()).hexdigest()[:32]}")
    return message.as_bytes()


def ascii_address(address: str) -> str:
    """Return an address with its domain in ASCII, as mail servers take it."""
    local, at, domain = address.rpartition("@")
    if not at:
        return address
    return f"{local}@{domain.encode('idna').decode('ascii')}"
