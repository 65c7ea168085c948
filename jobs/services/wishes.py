"""What customers ask for on their private page."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import BookingRequest, Installation, ServiceKind
from jobs.queries.booked import booked_for
from jobs.queries.office import office_addresses
from jobs.services.bookings import JOB_OF_SERVICE
from jobs.services.letters import booking_letter
from jobs.services.mail import mail_queue
from jobs.services.schedule import services_done_by

#: Page on which the office answers what customers ask for.
OFFICE_PAGE = "service_list"


@transaction.atomic
def booking_ask(
    *, installation: Installation, services: Collection[str], wish: str, now: datetime
) -> list[BookingRequest]:
    """Write down that the customer asks for a visit and tell the office by mail.

    One request stays open for an installation and service; asking again for what is booked adds nothing.
    """
    # The lock makes two clicks on the button see each other.
    Installation.objects.select_for_update().get(pk=installation.pk)
    wanted = _without_what_comes_along(installation, services)
    free = [service for service in wanted if booked_for(installation, service, now) is None]
    if not wanted:
        raise JobsError("nothing_asked", "Tick what the visit is for.")
    if not free:
        raise JobsError("already_asked", "This visit is asked for already: the shop will call about a day.")
    requests = [
        BookingRequest.objects.create(
            installation=installation, service=service, wish=wish.strip(), asked_at=now
        )
        for service in free
    ]
    _tell_office(requests, now)
    return requests


def _without_what_comes_along(installation: Installation, services: Collection[str]) -> list[ServiceKind]:
    """Return the services in order, without any that another of them takes with it."""
    wanted = [service for service in ServiceKind if service in services]
    book = installation.site.rule_book
    return [
        service
        for service in wanted
        if not any(
            service in services_done_by(kind=JOB_OF_SERVICE[other], rule_book=book)
            for other in wanted
            if other != service
        )
    ]


def _tell_office(requests: list[BookingRequest], now: datetime) -> None:
    letter = booking_letter(requests=requests, page=OFFICE_PAGE)
    customer = requests[0].installation.site.customer
    headers = {"Reply-To": customer.email} if customer.email else {}
    for address in office_addresses():
        mail_queue(
            to=address,
            subject=letter.subject,
            text=letter.text,
            html=letter.html,
            headers=headers,
            customer=customer,
            now=now,
        )
