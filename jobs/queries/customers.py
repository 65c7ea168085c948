"""Which customers somebody may see."""

from __future__ import annotations

from django.db.models import Count, Prefetch, Q, QuerySet

from jobs.models import Customer, Installation, Role, Site, User
from jobs.queries.installations import installations_visible_to
from jobs.queries.jobs import jobs_visible_to
from jobs.queries.sites import sites_visible_to
from jobs.queries.words import search_words


def customers_visible_to(user: User) -> QuerySet[Customer]:
    """Return all customers, or for an installer those of the own crew's jobs."""
    customers = Customer.objects.all()
    if user.role != Role.INSTALLER:
        return customers
    return customers.filter(pk__in=jobs_visible_to(user).values("installation__site__customer"))


def customers_found(user: User, words: str) -> QuerySet[Customer]:
    """Return the visible customers whose name, address, mail or phone holds every word."""
    customers, sites = customers_visible_to(user), sites_visible_to(user)
    for word in search_words(words):
        customers = customers.filter(
            Q(name__icontains=word)
            | Q(email__icontains=word)
            | Q(phone__icontains=word)
            | Q(
                pk__in=sites.filter(
                    Q(street__icontains=word) | Q(city__icontains=word) | Q(postcode__icontains=word)
                ).values("customer")
            )
        )
    seen = Q(sites__installations__in=installations_visible_to(user).values("pk"))
    own = None if user.role != Role.INSTALLER else seen
    return (
        customers.annotate(installation_count=Count("sites__installations", filter=own, distinct=True))
        .prefetch_related(Prefetch("sites", queryset=sites.order_by("label", "pk")))
        .order_by("name", "pk")
    )


def customer_sites(user: User, customer: Customer) -> QuerySet[Site]:
    """Return a customer's sites with the installations somebody may see in them."""
    sites = customer.sites.order_by("label", "pk")
    installations = Installation.objects.select_related("appliance", "chimney")
    if user.role == Role.INSTALLER:
        installations = installations.filter(pk__in=jobs_visible_to(user).values("installation"))
        sites = sites.filter(installations__in=installations).distinct()
    return sites.prefetch_related(Prefetch("installations", queryset=installations))
