"""Which surveys somebody may see."""

from __future__ import annotations

from copy import deepcopy

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


def survey_draft(installation: Installation) -> Survey:
    """Return an unsaved survey that begins with what the last revision found; `revision` is that one's."""
    last = installation.surveys.order_by("-revision").first()
    if last is None:
        return Survey(installation=installation, revision=0)
    kept = {
        field.attname: getattr(last, field.attname)
        for field in Survey._meta.concrete_fields
        if field.name not in {"id", "installation", "made_by", "made_at", "notes"}
    }
    return Survey(installation=installation, **deepcopy(kept))
