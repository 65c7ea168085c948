"""Reminders: each step of a due date is decided once, in one transaction with its mail."""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.http import urlencode

from calcs.servicing import REMINDER_STEPS, remind_on
from jobs.errors import JobsError
from jobs.links import stop_link
from jobs.models import (
    Customer,
    Installation,
    OutgoingMail,
    Reminder,
    ReminderOutcome,
    ReminderStep,
    ServiceSchedule,
    Shop,
)
from jobs.queries.booked import Booked, booked_for
from jobs.services.letters import due_line, reminder_letter
from jobs.services.mail import mail_queue
from jobs.services.mail_message import address_check, ascii_address

log = logging.getLogger(__name__)

_STEPS = dict(
    zip(REMINDER_STEPS, (ReminderStep.BEFORE_30, ReminderStep.BEFORE_7, ReminderStep.AFTER_14), strict=True)
)
_LONGEST_NOTICE = timedelta(days=-min(REMINDER_STEPS))


def reminders_queue(*, now: datetime) -> int:
    """Decide every step whose day has come at the house; return how many mails were queued.

    After a standstill only the latest step that has come is taken, the earlier ones are passed by: nobody
    gets two mails at once about one due date. What goes wrong at one house is logged and holds up no other.
    """
    # A day of slack: at some houses it is already tomorrow.
    last_due = now.date() + _LONGEST_NOTICE + timedelta(days=1)
    due = ServiceSchedule.objects.filter(ended_on=None, next_due_on__lte=last_due)
    queued = 0
    for pk in due.order_by("installation").values_list("installation", flat=True).distinct():
        try:
            queued += _remind(pk, now)
        except Exception:
            log.exception("The reminders of installation %s could not be written", pk)
    return queued


@transaction.atomic
def reminders_stop(*, customer: Customer, now: datetime) -> Customer:
    """Send this customer no more reminders; asked twice, the first day stands."""
    Customer.objects.filter(pk=customer.pk, reminders_stopped_at=None).update(reminders_stopped_at=now)
    customer.refresh_from_db(fields=["reminders_stopped_at"])
    return customer


@transaction.atomic
def reminders_start(*, customer: Customer) -> Customer:
    """Remind this customer again from the next step on."""
    Customer.objects.filter(pk=customer.pk).update(reminders_stopped_at=None)
    customer.refresh_from_db(fields=["reminders_stopped_at"])
    return customer


@transaction.atomic
def _remind(installation_pk: int, now: datetime) -> int:
    # The lock makes two schedulers take one house after the other; the second finds the rows of the first.
    installation = (
        Installation.objects.select_for_update(of=("self",))
        .select_related("site__customer", "appliance")
        .get(pk=installation_pk)
    )
    today = now.astimezone(ZoneInfo(installation.site.time_zone)).date()
    to_decide: dict[tuple[date, ReminderStep], list[ServiceSchedule]] = defaultdict(list)
    for service in installation.services.filter(ended_on=None):
        step = _step_to_take(service, today, now)
        if step is not None:
            to_decide[service.next_due_on, step].append(service)
    mails = (
        _decide(installation, services, step, today, now) for (_, step), services in sorted(to_decide.items())
    )
    return sum(mail is not None for mail in mails)


def _step_to_take(service: ServiceSchedule, today: date, now: datetime) -> ReminderStep | None:
    days = zip(remind_on(service.next_due_on), REMINDER_STEPS, strict=True)
    come = [_STEPS[step] for day, step in sorted(days) if day <= today]
    rows = Reminder.objects.filter(
        installation=service.installation_id, service=service.kind, due_on=service.next_due_on
    )
    taken = set(rows.values_list("step", flat=True))
    if not come or come[-1] in taken:
        return None
    passed_by = [step for step in come[:-1] if step not in taken]
    for step in passed_by:
        _write([service], step, ReminderOutcome.PASSED_BY, now)
    return come[-1]


def _decide(
    installation: Installation,
    services: list[ServiceSchedule],
    step: ReminderStep,
    today: date,
    now: datetime,
) -> OutgoingMail | None:
    customer = installation.site.customer
    if customer.reminders_stopped_at is not None:
        _write(services, step, ReminderOutcome.STOPPED, now)
        return None
    if not _has_address(customer):
        _write(services, step, ReminderOutcome.NO_ADDRESS, now)
        return None
    booked = {service.pk: booked_for(installation, service.kind, now) for service in services}
    if step == ReminderStep.AFTER_14:
        _write((s for s in services if booked[s.pk]), step, ReminderOutcome.BOOKED, now)
        services = [service for service in services if not booked[service.pk]]
    if not services:
        return None
    mail = _mail(installation, services, booked, today, now)
    _write(services, step, ReminderOutcome.MAILED, now, mail)
    return mail


def _has_address(customer: Customer) -> bool:
    try:
        address_check(customer.email)
    except JobsError:
        return False
    return True


def _mail(
    installation: Installation,
    services: list[ServiceSchedule],
    booked: dict[int, Booked | None],
    today: date,
    now: datetime,
) -> OutgoingMail:
    customer = installation.site.customer
    letter = reminder_letter(
        installation=installation,
        due_on=services[0].next_due_on,
        today=today,
        lines=[due_line(service, booked[service.pk]) for service in services],
    )
    return mail_queue(
        to=customer.email,
        subject=letter.subject,
        text=letter.text,
        html=letter.html,
        headers=_stop_headers(customer),
        customer=customer,
        now=now,
    )


def _stop_headers(customer: Customer) -> dict[str, str]:
    """Return the headers by which a mail program stops reminders (RFC 2369, RFC 8058)."""
    shop_email = ascii_address(Shop.current().email)
    ways = [f"<{stop_link(customer)}>"]
    if shop_email:
        ways.append(f"<mailto:{shop_email}?{urlencode({'subject': 'Stop reminders'}).replace('+', '%20')}>")
    headers = {"List-Unsubscribe": ", ".join(ways), "List-Unsubscribe-Post": "List-Unsubscribe=One-Click"}
    return {**headers, "Reply-To": shop_email} if shop_email else headers


def _write(
    services: Iterable[ServiceSchedule],
    step: ReminderStep,
    outcome: ReminderOutcome,
    now: datetime,
    mail: OutgoingMail | None = None,
) -> None:
    Reminder.objects.bulk_create(
        Reminder(
            installation_id=service.installation_id,
            service=service.kind,
            due_on=service.next_due_on,
            step=step,
            outcome=outcome,
            mail=mail,
            decided_at=now,
        )
        for service in services
    )
