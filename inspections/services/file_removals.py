"""Files of an erased customer: a worker removes them after the rows were blanked."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db import transaction

from inspections.erasure_list import erasure_list_add
from inspections.models import Photo
from jobs.models import Customer, FileRemoval
from jobs.services.bell import bell_ring
from jobs.services.kept_files import files_drop

log = logging.getLogger(__name__)

#: How long a failed removal rests. It is never given up: a promise was made.
REST = timedelta(minutes=10)
PICKED_UP_AT_ONCE = 20


@transaction.atomic
def files_removal_request(*, customer: Customer, stems: Sequence[str], now: datetime) -> FileRemoval:
    """Have files removed once the caller's transaction is committed."""
    removal = FileRemoval.objects.create(customer=customer, stems=list(stems), requested_at=now, due_at=now)
    from inspections.tasks.customers import remove_files  # noqa: PLC0415 - the task calls this module

    bell_ring(task=remove_files, pk=removal.pk)
    return removal


def removals_left(*, now: datetime) -> list[int]:
    """Return the keys of removals that wait for a worker, oldest first."""
    waiting = FileRemoval.objects.filter(FileRemoval.waiting(now)).order_by("due_at", "pk")
    return list(waiting.values_list("pk", flat=True)[:PICKED_UP_AT_ONCE])


def files_remove(*, pk: int, now: datetime) -> bool:
    """Remove the files unless another worker does; True when this call finished it.

    Each step may be done twice. Killed anywhere, the row falls due again and the rest is done then.
    """
    if not FileRemoval.claim(pk, now):
        return False
    removal = FileRemoval.objects.select_related("customer").get(pk=pk)
    mine = FileRemoval.objects.filter(pk=pk, claimed_at=removal.claimed_at, done_at=None)
    try:
        # Noted first: a backup that is put back before the files are gone must not bring the rows back.
        erasure_list_add(customer=removal.customer)
        for stem in removal.stems:
            if not _held_by_others(stem):
                files_drop(stem=stem)
    except Exception as error:
        log.exception("The files of erased customer %s could not be removed", removal.customer_id)
        mine.update(claimed_at=None, due_at=now + REST, last_error=f"{type(error).__name__}: {error}"[:500])
        return False
    return mine.update(done_at=now, claimed_at=None, last_error="") == 1


def _held_by_others(stem: str) -> bool:
    """The same picture is kept once, whoever sent it."""
    folder, _, sha256 = stem.rpartition("/")
    if not folder.startswith("photos/"):
        return False
    others = Photo.objects.filter(sha256=sha256, job__installation__site__customer__erased_at=None)
    return others.exists()
