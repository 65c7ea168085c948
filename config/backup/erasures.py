"""Erases again whom an old backup brought back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.core.management import CommandError

from inspections.erasure_list import Erased, erasure_list_file, erasure_list_merge, erasure_list_read
from inspections.services.erasing import customer_erase_again
from inspections.services.file_removals import files_remove, removals_left
from jobs.models import Customer, Role, User


@dataclass(frozen=True)
class ErasedAgain:
    """How many were erased again, of how many on the list."""

    listed: int
    again: int


def erasures_take_in(paths: Iterable[Path]) -> None:
    """Add to this shop's list what stands on others, such as the one a backup brought along."""
    for path in paths:
        if not path.is_file():
            raise CommandError(f"There is no list of erasures at {path}.")
        erasure_list_merge(list(erasure_list_read(path)))


def erasures_do_again(*, now: datetime) -> ErasedAgain:
    """Erase everybody on the list who is there with name and all, files included, before anybody looks.

    A key alone would not do: in another shop's database it belongs to somebody else. The moment at which a
    customer was entered has to be the same too.
    """
    listed = list(erasure_list_read(erasure_list_file()))
    again = sum(_again(one, now) for one in listed)
    for pk in removals_left(now=now):
        files_remove(pk=pk, now=now)
    return ErasedAgain(len(listed), again)


def _again(one: Erased, now: datetime) -> bool:
    customer = Customer.objects.filter(pk=one.customer, erased_at=None).first()
    if customer is None or customer.created_at.isoformat() != one.entered_at:
        return False
    by = User.objects.filter(role=Role.OWNER).order_by("-is_active", "pk").first()
    if by is None:
        raise CommandError("There is no owner in whose name to erase. Make one: manage.py create_owner.")
    return customer_erase_again(customer=customer, by=by, erased_at=one.at, now=now) is not None
