"""A week of visits: crews by days."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from jobs.models import Credential, Crew, Visit

#: How long beforehand an expiring credential is mentioned.
SOON = timedelta(days=30)


@dataclass(frozen=True)
class WeekVisit:
    """One visit in a cell, with the others of the crew it overlaps."""

    visit: Visit
    clashes: bool
    late: bool


@dataclass(frozen=True)
class DayCell:
    """One crew's day."""

    day: date
    visits: list[WeekVisit]


@dataclass(frozen=True)
class CredentialWarning:
    """A credential of somebody in a crew that is or will be out of date."""

    credential: Credential
    expired: bool


@dataclass(frozen=True)
class CrewRow:
    """One crew's week."""

    crew: Crew
    people: list[str]
    warnings: list[CredentialWarning]
    cells: list[DayCell] = field(default_factory=list)


def monday_of(day: date) -> date:
    """Return the first day of a week."""
    return day - timedelta(days=day.weekday())


def week_rows(*, monday: date, zone: str, now: datetime) -> list[CrewRow]:
    """Return every crew that goes out, or went out that week, with its visits by day of the shop's clock."""
    days = [monday + timedelta(days=n) for n in range(7)]
    starts, ends = (datetime.combine(day, time(), ZoneInfo(zone)) for day in (monday, monday + timedelta(7)))
    visits = Visit.objects.filter(cancelled_at=None, starts_at__gte=starts, starts_at__lt=ends)
    by_crew: dict[int, list[Visit]] = {}
    for visit in visits.select_related("job__installation__site__customer", "crew"):
        by_crew.setdefault(visit.crew_id, []).append(visit)
    crews = Crew.objects.prefetch_related("technicians__user", "technicians__credentials")
    today = now.astimezone(ZoneInfo(zone)).date()
    rows = []
    for crew in crews:
        if not crew.active and crew.pk not in by_crew:
            continue
        own = by_crew.get(crew.pk, [])
        rows.append(
            CrewRow(
                crew=crew,
                people=[person.user.name for person in crew.technicians.all() if person.user.is_active],
                warnings=credential_warnings(crew, today=max(today, monday)),
                cells=[_cell(day, own, zone, now) for day in days],
            )
        )
    return rows


def credential_warnings(crew: Crew, *, today: date) -> list[CredentialWarning]:
    """Return what of a crew's credentials is expired on a day or expires soon after."""
    return [
        CredentialWarning(credential, credential.is_expired(today))
        for person in crew.technicians.all()
        if person.user.is_active
        for credential in person.credentials.all()
        if credential.expires_on is not None and credential.expires_on < today + SOON
    ]


def _cell(day: date, visits: list[Visit], zone: str, now: datetime) -> DayCell:
    shown = [visit for visit in visits if visit.starts_at.astimezone(ZoneInfo(zone)).date() == day]
    return DayCell(day, [WeekVisit(one, _clashes(one, visits), one.is_late(now)) for one in shown])


def _clashes(visit: Visit, others: list[Visit]) -> bool:
    return any(
        other.pk != visit.pk and other.starts_at < visit.ends_at and visit.starts_at < other.ends_at
        for other in others
    )
