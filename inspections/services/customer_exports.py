"""Exports: asked for by the office, made once by a worker, whole or not at all, and gone after a week."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta

from django.db import transaction

from inspections.services.customer_archives import Written, archive_write
from jobs.errors import JobsError
from jobs.models import Customer, CustomerExport, User
from jobs.services.bell import bell_ring
from jobs.services.kept_files import file_drop_others, file_write, files_drop

log = logging.getLogger(__name__)

#: How long a failed export rests before the next try; after the last try a person decides.
RESTS = (timedelta(minutes=1), timedelta(minutes=10))
TRIES = len(RESTS) + 1
PICKED_UP_AT_ONCE = 5


@transaction.atomic
def customer_export_request(*, customer: Customer, by: User, now: datetime) -> CustomerExport:
    """Ask for everything about a customer. One is made at a time."""
    # The lock makes two clicks on the button see each other.
    customer = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    if customer.exports.filter(done_at=None, gave_up_at=None).exists():
        raise JobsError("export_in_hand", "It is being put together already. Look again in a minute.")
    export = CustomerExport.objects.create(customer=customer, asked_by=by, requested_at=now, due_at=now)
    _ring(export.pk)
    return export


def customer_exports_left(*, now: datetime) -> list[int]:
    """Return the keys of exports that wait for a worker, oldest first."""
    waiting = CustomerExport.objects.filter(CustomerExport.waiting(now)).order_by("due_at", "pk")
    return list(waiting.values_list("pk", flat=True)[:PICKED_UP_AT_ONCE])


def customer_export_make(*, pk: int, now: datetime) -> bool:
    """Make an export unless another worker does; True when this call finished it.

    The file is whole in storage before the row says so. A worker killed in between leaves a row that falls
    due again when its claim has grown old, and at worst a file that the next try removes.
    """
    if not CustomerExport.claim(pk, now):
        return False
    export = CustomerExport.objects.select_related("customer").get(pk=pk)
    if export.attempts > TRIES:
        _record_failure(export, "The worker stopped in the middle of this export again and again.", now)
        return False
    name = f"{export_stem(export)}{export.attempts}.zip"
    try:
        with file_write(name=name) as file:
            # The time of asking, so that another try gives the same file.
            written = archive_write(file=file, customer=export.customer, now=export.requested_at)
    except Exception as error:
        log.exception("Export %s could not be made", pk)
        _record_failure(export, f"It could not be put together: {type(error).__name__}.", now)
        return False
    return _record_file(export, name, written, now)


def customer_exports_drop_old(*, now: datetime) -> int:
    """Remove the files of exports that have been there long enough; return how many."""
    ready = CustomerExport.objects.filter(done_at__lte=now - CustomerExport.KEPT, dropped_at=None)
    dropped = 0
    for export in ready:
        # The file first: a kill in between leaves a row that is taken again, never a file nobody knows of.
        files_drop(stem=export_stem(export))
        dropped += CustomerExport.objects.filter(pk=export.pk, dropped_at=None).update(
            file="", dropped_at=now
        )
    return dropped


def export_stem(export: CustomerExport) -> str:
    """Return how the names of an export's files begin."""
    return f"exports/{export.pk}-"


def _ring(pk: int) -> None:
    from inspections.tasks.customers import make_customer_export  # noqa: PLC0415 - the task calls this module

    bell_ring(task=make_customer_export, pk=pk)


def _record_file(export: CustomerExport, name: str, written: Written, now: datetime) -> bool:
    mine = CustomerExport.objects.filter(pk=export.pk, claimed_at=export.claimed_at, done_at=None)
    recorded = mine.update(
        file=name, sha256=written.sha256, size=written.size, done_at=now, claimed_at=None, last_error=""
    )
    if recorded == 1:
        file_drop_others(stem=export_stem(export), keep=name)
    return recorded == 1


def _record_failure(export: CustomerExport, sentence: str, now: datetime) -> None:
    tried_out = export.attempts >= TRIES
    rest = RESTS[min(export.attempts, len(RESTS)) - 1]
    mine = CustomerExport.objects.filter(pk=export.pk, claimed_at=export.claimed_at, done_at=None)
    mine.update(
        claimed_at=None, last_error=sentence, due_at=now + rest, gave_up_at=now if tried_out else None
    )
