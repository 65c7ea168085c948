"""Whose time has passed, and what stands in the way of erasing somebody."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from dateutil.relativedelta import relativedelta
from django.db.models import Exists, F, Max, OuterRef, Q, QuerySet
from django.db.models.functions import Coalesce, Greatest

from inspections.models import Defect, DoNotUseNotice, Photo
from inspections.models.defect import Severity
from jobs.models import OPEN_STATUSES, Customer, Document, Job, OutgoingMail, Shop

_CUSTOMER = "installation__site__customer"


@dataclass(frozen=True)
class Hindrances:
    """What speaks against erasing a customer now."""

    open_jobs: tuple[Job, ...]
    #: Sentences on stoves that must not be used.
    dangers: tuple[str, ...]
    #: What a worker has not finished, in words.
    in_hand: tuple[str, ...]
    kept_until: date
    is_past: bool

    @property
    def is_free(self) -> bool:
        """Whether nothing but the time of keeping may stand in the way."""
        return not (self.open_jobs or self.dangers or self.in_hand)


def hindrances_of(customer: Customer, now: datetime) -> Hindrances:
    """Return what speaks against erasing a customer."""
    until = kept_until(customer)
    return Hindrances(
        open_jobs=tuple(Job.objects.filter(**{_CUSTOMER: customer}, status__in=OPEN_STATUSES).order_by("pk")),
        dangers=tuple(_dangers(customer)),
        in_hand=tuple(_in_hand(customer)),
        kept_until=until,
        is_past=until <= now.date(),
    )


def kept_until(customer: Customer) -> date:
    """Return the first day on which nothing of a customer has to be kept any more."""
    told = Customer.objects.filter(pk=customer.pk).annotate(last_at=_last_at())
    last: datetime = told.values_list("last_at", flat=True).get()
    return last.date() + relativedelta(years=Shop.current().keep_years)


def customers_past_keeping(now: datetime) -> QuerySet[Customer]:
    """Return the customers who may be erased, longest gone first, each with `last_at`."""
    before = now - relativedelta(years=Shop.current().keep_years)
    open_jobs = Job.objects.filter(installation__site__customer=OuterRef("pk"), status__in=OPEN_STATUSES)
    return (
        Customer.objects.filter(erased_at=None)
        .annotate(last_at=_last_at())
        .filter(~Exists(open_jobs), last_at__lt=before)
        .order_by("last_at", "pk")
    )


def _last_at() -> Greatest:
    """When something was last done: a job closed, called off or asked for; else when they came."""
    jobs = "sites__installations__jobs"
    moments = (Max(f"{jobs}__closed_at"), Max(f"{jobs}__created_at"), Max(f"{jobs}__status_changes__at"))
    return Greatest(F("created_at"), *(Coalesce(moment, F("created_at")) for moment in moments))


def _dangers(customer: Customer) -> list[str]:
    """A family that must not light its stove has to be reachable until it may."""
    house = f"stage__record__job__{_CUSTOMER}"
    defects = Defect.objects.filter(**{house: customer}, closed_at=None).prefetch_related("gradings")
    dangers = [one for one in defects.select_related("stage__record__job") if one.grade == Severity.DANGER]
    notices = DoNotUseNotice.objects.filter(**{f"defect__{house}": customer}, lifted_at=None)
    held = [notice.defect for notice in notices.select_related("defect__stage__record__job")]
    # A danger and the notice about it are one thing to whoever reads this.
    found = {one.pk: f"{one.stage.record.job.number}: {one.description}" for one in (*dangers, *held)}
    return list(found.values())


def _in_hand(customer: Customer) -> list[str]:
    waits = Q(done_at=None, gave_up_at=None)
    job = f"job__{_CUSTOMER}"
    counts = {
        "paper": Document.objects.filter(waits, **{job: customer}).count(),
        "photo": Photo.objects.filter(waits, **{job: customer}).count(),
        "mail": OutgoingMail.objects.filter(waits, customer=customer).count(),
        "export": customer.exports.filter(waits).count(),
    }
    return [f"{count} {word}{'' if count == 1 else 's'}" for word, count in counts.items() if count]
