"""What a customer sees by the private link: the own installations, papers and due dates, nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from jobs.house_parts import HousePart, house_parts
from jobs.models import Customer, Document, Installation, ServiceKind, ServiceSchedule
from jobs.queries.booked import Booked, booked_for
from jobs.queries.documents import documents_for_customer
from jobs.services.bookings import JOB_OF_SERVICE
from jobs.services.letters import SERVICE_WORDS, why_due
from jobs.services.schedule import services_done_by


@dataclass(frozen=True)
class ServiceLine:
    """One service of an installation as its owner is told of it."""

    name: str
    due_on: date
    last_done_on: date
    overdue: bool
    days: int
    why: str
    booked: Booked | None


@dataclass(frozen=True)
class InstallationView:
    """One installation as its owner sees it."""

    installation: Installation
    services: list[ServiceLine]
    papers: list[Document]
    may_ask: bool
    #: What is to be known of it before anything else.
    parts: list[HousePart]


def customer_by_token(token: str) -> Customer | None:
    """Return whose private link this is, None if it is nobody's or was renewed."""
    # A database may refuse to be asked for what no text can hold.
    return None if "\x00" in token else Customer.objects.filter(link_token=token).first()


def installations_of(customer: Customer) -> QuerySet[Installation]:
    """Return the customer's installations."""
    return Installation.objects.filter(site__customer=customer).select_related(
        "site__customer", "appliance", "chimney"
    )


def installation_views(customer: Customer, now: datetime) -> list[InstallationView]:
    """Return everything the private page shows of the customer's installations."""
    papers = list(documents_for_customer(customer))
    views = []
    for installation in installations_of(customer):
        services = [
            _line(installation, service, now) for service in installation.services.filter(ended_on=None)
        ]
        views.append(
            InstallationView(
                installation=installation,
                services=services,
                papers=[paper for paper in papers if paper.job.installation_id == installation.pk],
                may_ask=bool(services) and bool(services_on_offer(installation, now)),
                parts=house_parts("customer", installation, None),
            )
        )
    return views


def services_on_offer(installation: Installation, now: datetime) -> list[tuple[str, str]]:
    """Return the services the customer may still ask for, with the words for each."""
    if not installation.services.filter(ended_on=None).exists():
        return []
    return [
        (service.value, _offer(service, installation.site.rule_book))
        for service in ServiceKind
        if booked_for(installation, service, now) is None
    ]


def _offer(service: ServiceKind, rule_book: str) -> str:
    words = [
        SERVICE_WORDS[one] for one in services_done_by(kind=JOB_OF_SERVICE[service], rule_book=rule_book)
    ]
    return " with the ".join(words).capitalize()


def _line(installation: Installation, service: ServiceSchedule, now: datetime) -> ServiceLine:
    today = now.astimezone(ZoneInfo(installation.site.time_zone)).date()
    return ServiceLine(
        name=SERVICE_WORDS[ServiceKind(service.kind)].capitalize(),
        due_on=service.next_due_on,
        last_done_on=service.last_done_on,
        overdue=service.is_overdue(today),
        days=abs((service.next_due_on - today).days),
        why=why_due(service.source),
        booked=booked_for(installation, service.kind, now),
    )
