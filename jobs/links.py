"""Addresses written where no request says which host: in mails and on the customer's private page."""

from __future__ import annotations

from django.conf import settings
from django.urls import reverse

from jobs.models import Customer, Installation


def whole_link(path: str) -> str:
    """Return the whole address of a path of this shop."""
    return f"{settings.SITE_URL}{path}"


def customer_link(customer: Customer) -> str:
    """Return the address of a customer's private page."""
    return whole_link(reverse("customer_page", args=[customer.link_token]))


def booking_link(installation: Installation) -> str:
    """Return the address where the customer asks for a visit to one installation."""
    return whole_link(reverse("customer_book", args=[installation.site.customer.link_token, installation.pk]))


def stop_link(customer: Customer) -> str:
    """Return the address where the customer stops reminders."""
    return whole_link(reverse("customer_stop", args=[customer.link_token]))
