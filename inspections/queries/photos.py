"""Which photos somebody may see."""

from __future__ import annotations

from django.db.models import QuerySet

from inspections.models import Photo
from jobs.models import User
from jobs.queries.jobs import in_visible_jobs


def photos_visible_to(user: User) -> QuerySet[Photo]:
    """Return the photos of the jobs somebody may see."""
    return Photo.objects.filter(in_visible_jobs(user, "job"))
