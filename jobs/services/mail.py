"""Mail that leaves the shop: queued in the caller's transaction, handed over at most once."""

from __future__ import annotations

import logging
import time
from datetime import datetime, timedelta
from uuid import uuid4

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Coalesce

from jobs.errors import JobsError
from jobs.models import Customer, MailState, OutgoingMail, User
from jobs.services.bell import bell_ring
from jobs.services.mail_carriers import CarryError, NoAnswerError, carrier_open
from jobs.services.mail_message import (
    address_check,
    headers_check,
    mail_bytes,
    one_line,
    receiver_address,
    sender_address,
)

log = logging.getLogger(__name__)

#: How long a mail rests after each failed try: about four days in all, as RFC 5321, 4.5.4.1 advises.
RESTS = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 180, 360, 720, 1440, 1440, 1440))
TRIES = len(RESTS) + 1
#: Left mails one pick-up looks at, and how long it goes on [s]: the next pick-up comes soon, and a server
#: that does not answer must not keep the worker from everything else.
PICKED_UP_AT_ONCE = 50
PICK_UP_FOR = 20.0


@transaction.atomic
def mail_queue(
    *,
    to: str,
    subject: str,
    text: str,
    html: str = "",
    headers: dict[str, str] | None = None,
    customer: Customer | None = None,
    now: datetime,
) -> OutgoingMail:
    """Write a mail that is to leave, and ring for the worker once the caller's transaction is committed.

    `customer` is whom it is to or about: by it the mail is found when everything about them is asked for.
    Every mail says that a machine wrote it (Auto-Submitted, RFC 3834), so that no out-of-office note answers.
    """
    mail = OutgoingMail.objects.create(
        message_id=f"<{uuid4().hex}@{sender_address().rpartition('@')[2]}>",
        to=address_check(to),
        subject=one_line(subject),
        text=text.replace("\x00", ""),
        html=html.replace("\x00", ""),
        headers={"Auto-Submitted": "auto-generated", **headers_check(headers or {})},
        customer=customer,
        requested_at=now,
        due_at=now,
    )
    _ring(mail.pk)
    return mail


def mails_left(*, now: datetime) -> list[int]:
    """Return the keys of mails that wait for a worker, oldest first."""
    waiting = OutgoingMail.objects.filter(OutgoingMail.waiting(now)).order_by("due_at", "pk")
    return list(waiting.values_list("pk", flat=True)[:PICKED_UP_AT_ONCE])


def mails_send_left(*, now: datetime) -> int:
    """Send what a lost bell or a killed worker left behind; return how many mails went out.

    What goes wrong with one mail is logged and holds up no other.
    """
    began = time.monotonic()
    sent = 0
    for pk in mails_left(now=now):
        passed = time.monotonic() - began
        if passed > PICK_UP_FOR:
            break
        try:
            sent += mail_send(pk=pk, now=now + timedelta(seconds=passed))
        except Exception:
            log.exception("Mail %s could not be sent", pk)
    return sent


def mail_send(*, pk: int, now: datetime) -> bool:
    """Send a mail if nobody else does; True when this call saw it go out.

    All that may be repeated is done first. Then `handed_over_at` is committed, and only after that does
    the server get the text. A worker killed before leaves a row whose claim ends; one killed after leaves
    a row that only a person sends again.
    """
    if not OutgoingMail.claim(pk, now):
        return False
    mail = OutgoingMail.objects.get(pk=pk)
    if mail.attempts > TRIES:
        _fail(mail, CarryError("The worker stopped in the middle of this mail again and again."), now)
        return False
    try:
        content = mail_bytes(mail)
    except (ValueError, JobsError) as error:
        _fail(mail, CarryError(f"The mail cannot be put together: {error}", for_good=True), now)
        return False
    except Exception as error:
        log.exception("Mail %s could not be put together", pk)
        _fail(mail, CarryError(f"The mail cannot be put together: {type(error).__name__}."), now)
        return False
    try:
        return _carry(mail, content, now)
    except NoAnswerError as error:
        _mine(mail).update(claimed_at=None, last_error=error.sentence)
    except CarryError as error:
        _fail(mail, error, now)
    return False


@transaction.atomic
def mail_resend(*, mail: OutgoingMail, by: User, now: datetime) -> None:
    """Send a mail that was given up, rests or may have gone out; the same Message-ID stays."""
    stuck = [MailState.GAVE_UP, MailState.UNCERTAIN, MailState.RETRY]
    again = _in_states(mail, stuck, now).update(
        attempts=0,
        claimed_at=None,
        handed_over_at=None,
        gave_up_at=None,
        due_at=now,
        last_error=f"{by.name} had it sent again.",
    )
    if again != 1:
        raise JobsError(
            "nothing_to_resend", f"“{mail.subject}” is on its way or was sent. Load the page again."
        )
    _ring(mail.pk)


@transaction.atomic
def mail_mark_sent(*, mail: OutgoingMail, by: User, now: datetime) -> None:
    """Write down that a mail which may have gone out did arrive."""
    note = f"{by.name} marked it as sent."
    if (
        _in_states(mail, [MailState.UNCERTAIN], now).update(done_at=now, claimed_at=None, last_error=note)
        != 1
    ):
        raise JobsError(
            "nothing_to_mark", f"“{mail.subject}” is not in doubt: look at its state. Load the page again."
        )


def _carry(mail: OutgoingMail, content: bytes, now: datetime) -> bool:
    began = time.monotonic()

    def moment() -> datetime:
        return now + timedelta(seconds=time.monotonic() - began)

    with carrier_open() as carrier:
        carrier.ask(sender=sender_address(), to=receiver_address(mail), size=len(content))
        if not carrier.repeatable and not _hand_over(mail, moment()):
            return False
        carrier.give(content, name=mail.message_id.strip("<>"))
        done = moment()
        handed_over = Coalesce(F("handed_over_at"), done)
        return (
            _mine(mail).update(done_at=done, handed_over_at=handed_over, claimed_at=None, last_error="") == 1
        )


def _hand_over(mail: OutgoingMail, moment: datetime) -> bool:
    # Durable: inside somebody's transaction the mark could be rolled back after the mail has gone.
    with transaction.atomic(durable=True):
        return _mine(mail).filter(handed_over_at=None).update(handed_over_at=moment) == 1


def _fail(mail: OutgoingMail, error: CarryError, now: datetime) -> None:
    tried_out = mail.attempts >= TRIES
    rest = RESTS[min(mail.attempts, len(RESTS)) - 1]
    _mine(mail).update(
        claimed_at=None,
        handed_over_at=None,
        due_at=now + rest,
        last_error=error.sentence,
        gave_up_at=now if error.for_good or tried_out else None,
    )


def _mine(mail: OutgoingMail) -> QuerySet[OutgoingMail]:
    # The time of the claim tells a worker whose lease ended from the one that took the row after it.
    return OutgoingMail.objects.filter(pk=mail.pk, claimed_at=mail.claimed_at, done_at=None)


def _in_states(mail: OutgoingMail, states: list[MailState], now: datetime) -> QuerySet[OutgoingMail]:
    condition = Q()
    for state in states:
        condition |= OutgoingMail.in_state(state, now)
    return OutgoingMail.objects.filter(condition, pk=mail.pk)


def _ring(pk: int) -> None:
    from jobs.tasks.mail import send_mail  # noqa: PLC0415 - the task calls this module

    bell_ring(task=send_mail, pk=pk)
