"""Erasing: everything personal about a customer goes, what proves the work stays."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.db.models import Q

from inspections.models import Photo
from inspections.models.customer_data import HELD, WORD, Held
from inspections.queries.erasing import Hindrances, hindrances_of
from inspections.services.customer_exports import export_stem
from inspections.services.file_removals import files_removal_request
from jobs.errors import JobsError
from jobs.models import BookingRequest, Customer, CustomerExport, Document, Erasure, ServiceSchedule, User

#: How the names of a row's files begin, drafts and copies that no row names included.
STEMS: dict[type[models.Model], Callable[[Any], str]] = {
    Document: lambda paper: f"documents/{paper.job_id}/{paper.pk}-",
    Photo: lambda photo: f"photos/{photo.sha256[:2]}/{photo.sha256}",
    CustomerExport: export_stem,
}


@transaction.atomic
def customer_erase(
    *, customer: Customer, by: User, reason: str, name: str, override: str = "", now: datetime
) -> Erasure:
    """Erase everything personal about a customer; it cannot be undone.

    `name` is the customer's name as the owner typed it, `override` why it is done although the shop still has
    to keep papers and records.
    """
    customer = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    _check(customer, by, reason, name)
    hindrances = hindrances_of(customer, now)
    _check_free(hindrances)
    if not hindrances.is_past:
        if not override.strip():
            raise JobsError(
                "still_kept",
                f"Papers and records are to be kept until {hindrances.kept_until:%-d %B %Y}."
                " Write why they are erased before.",
            )
        reason = f"{reason.strip()} Before {hindrances.kept_until:%-d %B %Y}, because: {override.strip()}"
    return _erase(customer, by, reason.strip(), now)


@transaction.atomic
def customer_erase_again(
    *, customer: Customer, by: User, erased_at: datetime, now: datetime
) -> Erasure | None:
    """Erase somebody whom an old backup brought back; None when nothing of them came back.

    It was decided before, so nothing is asked again.
    """
    customer = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    if customer.erased_at is not None:
        return None
    reason = f"Erased on {erased_at:%-d %B %Y}; done again after an older backup was put back."
    return _erase(customer, by, reason, now)


def _check(customer: Customer, by: User, reason: str, name: str) -> None:
    if not by.is_owner:
        raise JobsError("owner_only", "Only an owner may erase a customer. Ask one to do it.")
    if customer.erased_at is not None:
        raise JobsError("already_erased", "Everything personal of this customer has been erased already.")
    if not reason.strip():
        raise JobsError("no_reason", "Write why it is erased, such as: asked for by the customer.")
    if " ".join(name.split()).casefold() != " ".join(customer.name.split()).casefold():
        raise JobsError("name_differs", f"Type the customer's name as it stands here: {customer.name}.")


def _check_free(hindrances: Hindrances) -> None:
    if hindrances.open_jobs:
        numbers = ", ".join(job.number for job in hindrances.open_jobs)
        raise JobsError("jobs_open", f"Still open: {numbers}. Close or cancel first what is not done.")
    if hindrances.dangers:
        raise JobsError(
            "danger_stands",
            f"A stove of theirs must not be used ({hindrances.dangers[0]}). Whoever lives there has to be"
            " reachable until it is put right.",
        )
    if hindrances.in_hand:
        raise JobsError(
            "in_hand", f"A worker still has {', '.join(hindrances.in_hand)} in hand. Try again in a minute."
        )


def _erase(customer: Customer, by: User, reason: str, now: datetime) -> Erasure:
    # First of all: the database lets private columns go only where this row is.
    erasure = Erasure.objects.create(customer=customer, by=by, reason=reason, at=now)
    stems = sorted(_stems(customer))
    for held in HELD:
        _blank(held, customer)
    house = {"installation__site__customer": customer}
    ServiceSchedule.objects.filter(**house, ended_on=None).update(ended_on=now.date())
    BookingRequest.objects.filter(**house, handled_at=None).update(handled_at=now, handled_by=by)
    _close_work(customer, now)
    Customer.objects.filter(pk=customer.pk).update(erased_at=now, reminders_stopped_at=now)
    customer.refresh_from_db()
    files_removal_request(customer=customer, stems=stems, now=now)
    return erasure


def _blank(held: Held, customer: Customer) -> None:
    rows = held.rows(customer).order_by()
    if held.goes:
        rows.delete()
        return
    together: dict[str, Any] = {}
    for column, leave in held.private.items():
        value = leave.fresh() if leave.fresh else leave.value
        if leave.where == Q() and value != WORD:
            together[column] = value
            continue
        kept = rows.filter(leave.where)
        # Where nothing was said, no word claims that something was.
        (kept.exclude(**{column: ""}) if value == WORD else kept).update(**{column: value})
    if together:
        rows.update(**together)


def _close_work(customer: Customer, now: datetime) -> None:
    """What was given up can be tried again no more: there is nothing left to make it from."""
    job = {"job__installation__site__customer": customer}
    Photo.objects.filter(**job, done_at=None).update(done_at=now)
    customer.exports.filter(done_at__isnull=False, dropped_at=None).update(dropped_at=now)
    customer.mails.filter(done_at=None, gave_up_at=None).update(gave_up_at=now)
    Document.objects.filter(**job, done_at=None).update(attempts=0, last_error="")


def _stems(customer: Customer) -> Iterator[str]:
    for held in HELD:
        if held.model in STEMS:
            rows = held.rows(customer)
            light = rows.defer("context") if held.model is Document else rows
            yield from {STEMS[held.model](row) for row in light}
