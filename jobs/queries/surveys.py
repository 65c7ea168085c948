"""Which surveys somebody may see."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.models import Installation, Survey, User
from jobs.queries.installations import installations_visible_to


def surveys_visible_to(user: User) -> QuerySet[Survey]:
    """Return the surveys of the installations somebody may see."""
    return Survey.objects.filter(installation__in=installations_visible_to(user).values("pk")).select_related(
        "installation__site__customer", "installation__appliance", "installation__chimney", "made_by"
    )


def surveys_of(installation: Installation) -> QuerySet[Survey]:
    """Return an installation's surveys with their plans, latest revision first."""
    return installation.surveys.select_related("made_by").prefetch_related("plans").order_by("-revision")
