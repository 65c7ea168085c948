"""Customers: their details and their private link."""

from __future__ import annotations

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import Customer
from jobs.models.customer import new_link_token


@transaction.atomic
def customer_save(*, customer: Customer) -> Customer:
    """Store a new customer, or only what a person edits on an old one."""
    if customer.pk is None:
        customer.save()
    else:
        customer_check_kept(pk=customer.pk)
        customer.save(update_fields=["name", "email", "phone", "notes"])
    return customer


def customer_check_kept(*, pk: int) -> None:
    """Refuse to write about somebody of whom everything personal was erased."""
    # The lock makes a form that is sent while the owner erases wait, and see it done.
    if Customer.objects.select_for_update(no_key=True).filter(pk=pk, erased_at__isnull=False).exists():
        raise JobsError(
            "customer_erased",
            "Everything personal of this customer was erased, and what is left stays as it is. Enter them, or"
            " whoever lives there now, as a new customer.",
        )


@transaction.atomic
def customer_link_renew(*, customer: Customer) -> Customer:
    """Give the customer a new private link; the old one opens nothing from now on."""
    customer.link_token = new_link_token()
    customer.save(update_fields=["link_token"])
    return customer
