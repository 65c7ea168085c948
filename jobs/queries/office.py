"""Who is told in the office."""

from __future__ import annotations

from jobs.models import Shop, User
from jobs.permissions import BOOKS


def office_addresses() -> list[str]:
    """Return where mails to the office go: the shop's address, or those of whoever keeps its books."""
    shop_email = Shop.current().email
    if shop_email:
        return [shop_email]
    people = User.objects.filter(role__in=BOOKS, is_active=True).order_by("pk")
    return list(people.values_list("email", flat=True))
