"""Which plans somebody may see, and a stored plan as calcs knows it."""

from __future__ import annotations

from django.db.models import QuerySet

from calcs.checks import Check, Outcome
from calcs.plan import Plan as ComputedPlan
from jobs.figures import kind_of, limit_words, measured_words
from jobs.limit_names import limit_name
from jobs.models import Job, JobKind, JobStatus, Plan, User
from jobs.queries.installations import installations_visible_to
from jobs.queries.jobs import jobs_visible_to

#: Checks that a finding tells in its own words: how the check's name begins, and the finding's topic.
_TOLD_BY = {
    "appliance.clearance.": "clearances",
    "framing.bay_clear": "position",
    "support.plumb_offset": "position",
    "flue.size": "flue size",
    "hearth.": "hearth",
    "connector.": "connector",
    "air.": "air",
    "fuel.": "fuel",
}


_OTHER_WAY = "The plan is for another way out of the house: survey it for the way it is to take now."


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


def plan_objections(plan: Plan | None) -> list[str]:
    """Return why a plan cannot be built as it stands: what fails first, then what is not known."""
    if plan is None:
        return []
    computed = plan_read(plan)
    failing = [_OTHER_WAY] if plan.installation.route != computed.survey.route else []
    failing += [
        one.sentence for one in computed.findings if one.outcome is Outcome.FAIL and not one.answered_by
    ]
    told = {one.topic for one in computed.findings}
    short = [
        _short_words(check, computed.system)
        for check in computed.checks
        if check.outcome is Outcome.FAIL and _topic(check) not in told
    ]
    return [*failing, *short, *computed.unknowns]


def _topic(check: Check) -> str:
    return next((topic for name, topic in _TOLD_BY.items() if check.name.startswith(name)), "")


def _short_words(check: Check, system: str) -> str:
    kind = kind_of(check.limit.unit, check.name) if check.limit else ""
    measured = measured_words(check.measured, check.limit, kind, system)
    return (
        f"{limit_name(check.name)}: {measured}, {limit_words(check.limit, check.name, system)} is asked for."
    )


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
