"""What a closed job starts: the next sweep and the next inspection, with the rule that asks for them."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from calcs.rulebook import Rule, RuleBook, load_rulebook
from calcs.servicing import HEATING_SEASON, next_due
from jobs.errors import JobsError
from jobs.models import Job, JobKind, ServiceKind, ServiceSchedule

_KIND_IN_CALCS = {
    ServiceKind.SWEEP: "annual sweep",
    ServiceKind.INSPECTION: "annual inspection",
}
_SERVICES_OF_JOB = {
    JobKind.NEW_INSTALLATION: (ServiceKind.SWEEP, ServiceKind.INSPECTION),
    JobKind.ANNUAL_SWEEP: (ServiceKind.SWEEP,),
    JobKind.INSPECTION_1: (ServiceKind.INSPECTION,),
    JobKind.INSPECTION_2: (ServiceKind.INSPECTION,),
    JobKind.INSPECTION_3: (ServiceKind.INSPECTION,),
    JobKind.INSPECTION_AFTER_FIRE: (ServiceKind.INSPECTION,),
    JobKind.INSPECTION_ON_SALE: (ServiceKind.INSPECTION,),
    JobKind.REPAIR: (),
}
#: Rule books under which the yearly sweep takes the yearly inspection (level 1) with it: the sweep sees
#: every readily accessible part anyway. Common practice, from memory. In the UK sweeping comes up to
#: quarterly and the yearly inspection of appliance and flue is a visit of its own.
_SWEEP_INSPECTS = frozenset({"us", "ca"})
_MONTHS_OF_YEAR = 12


def services_done_by(*, kind: str, rule_book: str) -> tuple[ServiceKind, ...]:
    """Return the services that a job of this kind does where this rule book holds."""
    if kind == JobKind.ANNUAL_SWEEP and rule_book in _SWEEP_INSPECTS:
        return (ServiceKind.SWEEP, ServiceKind.INSPECTION)
    return _SERVICES_OF_JOB[JobKind(kind)]


def jobs_that_do(*, service: str, rule_book: str) -> list[JobKind]:
    """Return the kinds of job that do a service over again where this rule book holds."""
    return [
        kind
        for kind in JobKind
        if kind != JobKind.NEW_INSTALLATION and service in services_done_by(kind=kind, rule_book=rule_book)
    ]


@transaction.atomic
def services_schedule(*, job: Job, done_on: date, now: datetime) -> list[ServiceSchedule]:
    """Start or move on what a closed job has done; return those services.

    A rule book without an interval for the fuel gives no due date: the service is left out, never guessed.
    Nothing moves backwards when an older job is closed late.
    """
    site = job.installation.site
    if done_on > now.astimezone(ZoneInfo(site.time_zone)).date():
        raise JobsError("done_in_future", f"{done_on:%-d %B %Y} is still to come. Give the day it was done.")
    book = load_rulebook(site.rule_book)
    fuel = job.installation.appliance.fuel
    scheduled = []
    for kind in services_done_by(kind=job.kind, rule_book=book.code):
        due = _due(kind, book, fuel, done_on)
        if due is not None:
            scheduled.append(_move_on(job, kind, done_on, *due))
    return scheduled


@transaction.atomic
def service_end(*, service: ServiceSchedule, on: date) -> ServiceSchedule:
    """Stop minding a service, for instance because the appliance was taken out."""
    ServiceSchedule.objects.filter(pk=service.pk, ended_on=None).update(ended_on=on)
    service.refresh_from_db()
    return service


@transaction.atomic
def service_take_up(*, service: ServiceSchedule) -> ServiceSchedule:
    """Mind an ended service again, from the due date it has."""
    ServiceSchedule.objects.filter(pk=service.pk).update(ended_on=None)
    service.refresh_from_db()
    return service


def _due(kind: ServiceKind, book: RuleBook, fuel: str, done_on: date) -> tuple[date, dict[str, Any]] | None:
    rule = book.find(f"{kind.value}.interval.{fuel}")
    if rule is None or rule.value is None:
        return None
    in_calcs = _KIND_IN_CALCS[kind]
    anniversary = next_due(done_on, in_calcs, book, fuel=fuel)
    # Only a yearly visit is brought forward to before the heating season; one that comes several times
    # a year belongs into the season.
    season = HEATING_SEASON if rule.value >= _MONTHS_OF_YEAR else None
    due = next_due(done_on, in_calcs, book, fuel=fuel, season=season)
    if due is None or anniversary is None:
        return None
    return due, _source(rule, book, anniversary, due)


def _source(rule: Rule, book: RuleBook, anniversary: date, due: date) -> dict[str, Any]:
    return {
        **rule.source.to_dict(),
        "rule": rule.key,
        "rule_book": book.code,
        "rule_book_edition": book.edition,
        "interval_months": int(rule.value or 0),
        "note": rule.note,
        "brought_forward_from": anniversary.isoformat() if due < anniversary else "",
    }


def _move_on(
    job: Job, kind: ServiceKind, done_on: date, due: date, source: dict[str, Any]
) -> ServiceSchedule:
    dates = {"last_done_on": done_on, "next_due_on": due, "source": source}
    service, made = ServiceSchedule.objects.select_for_update().get_or_create(
        installation=job.installation, kind=kind, defaults=dates
    )
    if made:
        return service
    begins_again = job.kind == JobKind.NEW_INSTALLATION
    if done_on >= service.last_done_on or begins_again:
        changes = {**dates, "ended_on": None} if begins_again else dates
        ServiceSchedule.objects.filter(pk=service.pk).update(**changes)
        service.refresh_from_db()
    return service
