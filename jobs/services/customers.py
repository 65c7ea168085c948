"""Customers: their details and their private link."""

from __future__ import annotations

from django.db import transaction

from jobs.models import Customer
from jobs.models.customer import new_link_token


@transaction.atomic
def customer_save(*, customer: Customer) -> Customer:
    """Store a new customer, or only what a person edits on an old one."""
    if customer.pk is None:
        customer.save()
    else:
        customer.save(update_fields=["name", "email", "phone", "notes"])
    return customer


@transaction.atomic
def customer_link_renew(*, customer: Customer) -> Customer:
    """Give the customer a new private link; the old one opens nothing from now on."""
    customer.link_token = new_link_token()
    customer.save(update_fields=["link_token"])
    return customer
