"""Which plans somebody may see, and a stored plan as calcs knows it."""

from __future__ import annotations

from django.db.models import QuerySet

from calcs.plan import Plan as ComputedPlan
from jobs.models import Job, JobKind, JobStatus, Plan, User
from jobs.queries.installations import installations_visible_to
from jobs.queries.jobs import jobs_visible_to


def plans_visible_to(user: User) -> QuerySet[Plan]:
    """Return the plans of the installations somebody may see."""
    return Plan.objects.filter(installation__in=installations_visible_to(user).values("pk")).select_related(
        "installation__site__customer",
        "installation__appliance",
        "installation__chimney",
        "survey",
        "made_by",
    )


def plan_read(plan: Plan) -> ComputedPlan:
    """Return the stored plan as the value it was computed as."""
    return ComputedPlan.from_dict(plan.data)


def jobs_for_plan(user: User, plan: Plan) -> QuerySet[Job]:
    """Return the installation's jobs that may still take this plan and do not have it."""
    return (
        jobs_visible_to(user)
        .filter(
            installation=plan.installation_id,
            kind=JobKind.NEW_INSTALLATION,
            status__in=[JobStatus.ENQUIRY, JobStatus.PLANNED, JobStatus.SCHEDULED],
        )
        .exclude(plan=plan)
    )
