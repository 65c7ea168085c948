"""Which jobs somebody may see."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, QuerySet

from jobs.models import Job, Role, User, Visit


def jobs_visible_to(user: User) -> QuerySet[Job]:
    """Return all jobs, or for an installer those the own crew is or was sent to."""
    jobs = Job.objects.select_related(
        "installation__site__customer", "installation__appliance", "installation__chimney", "plan"
    )
    if user.role != Role.INSTALLER:
        return jobs
    sent = Visit.objects.filter(job=OuterRef("pk"), cancelled_at=None, crew__technicians__user=user)
    return jobs.filter(Exists(sent))
