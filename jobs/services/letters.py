"""What mails say: composed here, sent elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.template.loader import render_to_string
from django.urls import reverse

from jobs.links import booking_link, customer_link, stop_link, whole_link
from jobs.models import BookingRequest, Country, Installation, ServiceKind, ServiceSchedule, Shop
from jobs.queries.booked import Booked

#: Services as a customer is told of them.
SERVICE_WORDS = {ServiceKind.SWEEP: "chimney sweep", ServiceKind.INSPECTION: "yearly inspection"}
EMERGENCY_NUMBER = {Country.US: "911", Country.CA: "911", Country.GB: "999"}


@dataclass(frozen=True)
class Letter:
    """A mail without its address."""

    subject: str
    text: str
    html: str


@dataclass(frozen=True)
class DueLine:
    """One service in a reminder."""

    words: str
    last_done_on: date
    why: str
    booked: bool
    visit_words: str


def due_line(service: ServiceSchedule, booked: Booked | None) -> DueLine:
    """Return what a reminder says of a service."""
    return DueLine(
        words=SERVICE_WORDS[ServiceKind(service.kind)],
        last_done_on=service.last_done_on,
        why=why_due(service.source),
        booked=booked is not None,
        visit_words=booked.visit_words if booked else "",
    )


def why_due(source: dict[str, Any]) -> str:
    """Return the rule behind a due date as a sentence; empty when the row holds none."""
    months = source.get("interval_months")
    if not months:
        return ""
    every = "once a year" if months == 12 else f"every {months} months"
    if source.get("kind") == "common practice":
        sentence = f"Common practice asks for it {every}."
    else:
        edition = source.get("edition", "")
        # "Edition not stated" is for whoever keeps the rule book, not for a customer.
        which = f" ({edition})" if any(letter.isdigit() for letter in edition) else ""
        sentence = f"{source['reference']}{which} asks for it {every}."
    if source.get("brought_forward_from"):
        sentence += " It is set before the heating season, so that the first fire meets a checked chimney."
    return sentence


def reminder_letter(*, installation: Installation, due_on: date, today: date, lines: list[DueLine]) -> Letter:
    """Return the reminder of what falls due on one day at one installation."""
    customer = installation.site.customer
    what = " and ".join(line.words for line in lines)
    past = due_on < today
    verb = {(1, False): "is", (1, True): "was"}.get((len(lines), past), "were" if past else "are")
    sentence = f"Your {what} {verb} due on {due_on:%-d %B %Y}"
    context = {
        "shop": Shop.current(),
        "customer": customer,
        "installation": installation,
        "sentence": sentence,
        "past": past,
        "lines": lines,
        "booked": all(line.booked for line in lines),
        "burns_wood": installation.appliance.fuel == "wood",
        "emergency_number": EMERGENCY_NUMBER[Country(installation.site.country)],
        "booking_link": booking_link(installation),
        "page_link": customer_link(customer),
        "stop_link": stop_link(customer),
    }
    return letter_write(sentence, "reminder", context)


def booking_letter(*, requests: list[BookingRequest], page: str) -> Letter:
    """Return what the office is told when a customer asks for a visit."""
    installation = requests[0].installation
    customer = installation.site.customer
    what = " and ".join(SERVICE_WORDS[ServiceKind(request.service)] for request in requests)
    context = {
        "shop": Shop.current(),
        "customer": customer,
        "installation": installation,
        "what": what,
        "wish": requests[0].wish,
        "office_link": whole_link(reverse(page)),
    }
    return letter_write(f"{customer.name} asks for a visit: {what}", "booking", context)


def letter_write(subject: str, name: str, context: dict[str, Any]) -> Letter:
    """Return the letter of a pair of templates, `mail/name.txt` and `mail/name.html`."""
    context = {**context, "subject": subject}
    return Letter(
        subject=subject,
        text=render_to_string(f"mail/{name}.txt", context).strip() + "\n",
        html=render_to_string(f"mail/{name}.html", context),
    )
