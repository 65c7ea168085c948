"""Which sites somebody may see."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.models import Role, Site, User
from jobs.queries.jobs import jobs_visible_to


def sites_visible_to(user: User) -> QuerySet[Site]:
    """Return all sites, or for an installer those of the own crew's jobs."""
    sites = Site.objects.select_related("customer")
    if user.role != Role.INSTALLER:
        return sites
    return sites.filter(pk__in=jobs_visible_to(user).values("installation__site"))
