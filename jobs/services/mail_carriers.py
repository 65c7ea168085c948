"""Ways a mail leaves: over SMTP, step by step, or as a file into a folder."""

from __future__ import annotations

import os
import re
import smtplib
import ssl
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Protocol, Self

from django.conf import settings
from django.core.mail.utils import DNS_NAME

#: How long to wait for the answer to the text [s]. Shorter than a claim's lease, so that a row whose
#: worker still waits is never shown as abandoned.
ANSWER_TIMEOUT = 240.0
#: Answers that speak of the shop's own sign-in, not of the mail (RFC 4954, section 6).
_SIGN_IN_CODES = frozenset({530, 534, 535, 538})


class CarryError(Exception):
    """The mail did not leave. `sentence` says why; `for_good` whether trying again is of no use."""

    def __init__(self, sentence: str, *, for_good: bool = False) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.for_good = for_good


class NoAnswerError(Exception):
    """The text was given and no answer came: nobody knows whether the mail went out."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class Carrier(Protocol):
    """One mail's way out. `ask` may be repeated safely; `give` only if the carrier is `repeatable`."""

    repeatable: bool

    def __enter__(self) -> Self: ...

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...

    def ask(self, *, sender: str, to: str, size: int) -> None:
        """Go as far as can be gone without giving the text away."""

    def give(self, content: bytes, *, name: str) -> None:
        """Give the text away and wait for the answer."""


def carrier_open() -> Carrier:
    """Return the carrier that the settings name."""
    if settings.EMAIL_BACKEND.endswith("filebased.EmailBackend"):
        return FolderCarrier(Path(getattr(settings, "EMAIL_FILE_PATH", "")))
    if settings.EMAIL_BACKEND.endswith("smtp.EmailBackend"):
        return SmtpCarrier()
    raise CarryError(
        f"Mail cannot leave by {settings.EMAIL_BACKEND}. Set MAIL_URL to smtp://... or folder:///path."
    )


class FolderCarrier:
    """Writes each mail as a file named after its Message-ID: written twice, it is still one file."""

    repeatable = True

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *exit_of_block: object) -> None:
        """Leave nothing open."""

    def ask(self, *, sender: str, to: str, size: int) -> None:
        """Make sure of the folder."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise CarryError(f"The mail folder {self.folder} cannot be made: {error.strerror}.") from error

    def give(self, content: bytes, *, name: str) -> None:
        """Write the file whole or not at all."""
        path = self.folder / f"{re.sub(r'[^A-Za-z0-9.-]', '_', name)}.eml"
        unfinished = path.with_suffix(f".{os.getpid()}.part")
        try:
            with unfinished.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            unfinished.replace(path)
        except OSError as error:
            unfinished.unlink(missing_ok=True)
            raise CarryError(f"The mail file {path} cannot be written: {error.strerror}.") from error


class SmtpCarrier:
    """Speaks SMTP (RFC 5321) one step at a time, as the EMAIL_ settings say."""

    repeatable = False

    def __init__(self) -> None:
        self.where = f"{settings.EMAIL_HOST}:{settings.EMAIL_PORT}"
        self._session: smtplib.SMTP | None = None
        self._in_text = False

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *exit_of_block: object) -> None:
        """Part with the server. What it says to that changes nothing."""
        if self._session is None:
            return
        with suppress(smtplib.SMTPException, OSError):
            if not self._in_text and self._session.sock is not None:
                self._session.sock.settimeout(5)
                self._session.quit()
        self._session.close()

    def ask(self, *, sender: str, to: str, size: int) -> None:
        """Connect, secure, sign in, name sender and receiver, and be told to go ahead with the text."""
        try:
            session = self._connect()
            options = [f"SIZE={size}"] if session.has_extn("size") else []
            self._expect(2, session.mail(sender, options), f"to the sender {sender}")
            self._expect(2, session.rcpt(to), f"to the receiver {to}")
            self._expect(3, session.docmd("DATA"), "to the mail")
        except smtplib.SMTPResponseException as error:
            # Refused before any mail was named: that speaks of the shop's set-up, which may be mended.
            raise CarryError(
                f"The mail server {self.where} answered: {error.smtp_code} {_text(error.smtp_error)}"
            ) from error
        except (smtplib.SMTPException, OSError, UnicodeError) as error:
            raise CarryError(f"The mail server {self.where} cannot be used: {_words(error)}.") from error
        self._in_text = True

    def give(self, content: bytes, *, name: str) -> None:
        """Send the text and wait for the answer, which alone decides."""
        session = self._session
        if session is None or session.sock is None:
            raise CarryError(f"The connection to the mail server {self.where} was lost.")
        try:
            session.sock.settimeout(ANSWER_TIMEOUT)
            session.send(dot_stuffed(content))
            code, message = session.getreply()
        except (smtplib.SMTPException, OSError) as error:
            raise NoAnswerError(
                f"The mail server {self.where} was given the mail and did not answer: {_words(error)}."
            ) from error
        if code // 100 not in {2, 4, 5}:
            raise NoAnswerError(
                f"The mail server {self.where} was given the mail and answered something that is no SMTP:"
                f" {_text(message)}."
            )
        self._in_text = False
        self._expect(2, (code, message), "to the mail")

    def _connect(self) -> smtplib.SMTP:
        timeout = settings.EMAIL_TIMEOUT or 30
        context = ssl.create_default_context()
        if settings.EMAIL_SSL_CERTFILE:
            context.load_cert_chain(settings.EMAIL_SSL_CERTFILE, settings.EMAIL_SSL_KEYFILE)
        host, port, name = settings.EMAIL_HOST, settings.EMAIL_PORT, DNS_NAME.get_fqdn()
        session = (
            smtplib.SMTP_SSL(host, port, local_hostname=name, timeout=timeout, context=context)
            if settings.EMAIL_USE_SSL
            else smtplib.SMTP(host, port, local_hostname=name, timeout=timeout)
        )
        self._session = session
        session.ehlo_or_helo_if_needed()
        if settings.EMAIL_USE_TLS:
            session.starttls(context=context)
            session.ehlo_or_helo_if_needed()
        if settings.EMAIL_HOST_USER:
            session.login(settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD)
        return session

    def _expect(self, hundreds: int, answer: tuple[int, bytes], to_what: str) -> None:
        code, message = answer
        if code == -1:
            raise CarryError(
                f"The mail server {self.where} answered {to_what} with something that is no SMTP."
            )
        if code // 100 != hundreds:
            raise _refused(f"The mail server {self.where} answered {to_what}", code, message)


def dot_stuffed(content: bytes) -> bytes:
    """Return a text as it follows DATA: CRLF line ends, leading dots doubled, the single dot at the end."""
    lines = re.sub(rb"\r\n|\r|\n", b"\r\n", content)
    stuffed = re.sub(rb"(?m)^\.", b"..", lines)
    return stuffed + (b"" if stuffed.endswith(b"\r\n") else b"\r\n") + b".\r\n"


def _refused(opening: str, code: int, message: bytes | str) -> CarryError:
    for_good = 500 <= code < 600 and code not in _SIGN_IN_CODES
    return CarryError(f"{opening}: {code} {_text(message)}", for_good=for_good)


def _text(message: bytes | str) -> str:
    return " ".join((message if isinstance(message, str) else message.decode("utf-8", "replace")).split())


def _words(error: BaseException) -> str:
    if isinstance(error, TimeoutError):
        return "it did not answer in time"
    return _text(str(error)).rstrip(".") or type(error).__name__
