"""Plans: computed from a survey and the two listings, and kept as they were."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.db.models import Max

from calcs.plan import Plan as ComputedPlan
from calcs.plan import make_plan
from calcs.rulebook import load_rulebook
from jobs.errors import JobsError
from jobs.models import Installation, Plan, Survey, User


class ImpossibleInputError(JobsError):
    """An input that cannot be; `owner` is survey, appliance or chimney and `field` the input's name."""

    def __init__(self, owner: str, field: str, reason: str) -> None:
        super().__init__("impossible_input", reason)
        self.owner = owner
        self.field = field


def plan_compute(*, survey: Survey) -> ComputedPlan:
    """Compute the plan of a survey, stored or not; an input that cannot be raises ImpossibleInputError."""
    installation = survey.installation
    site = installation.site
    try:
        return make_plan(
            survey.to_calcs(),
            installation.appliance.to_calcs(),
            installation.chimney.to_calcs(),
            load_rulebook(site.rule_book),
            system=site.unit_system,
        )
    except ValueError as error:
        name, _, reason = str(error).partition(": ")
        owner, _, field = name.partition(".")
        if not reason or owner not in {"survey", "appliance", "chimney"}:
            owner, field, reason = "survey", "", str(error)
        raise ImpossibleInputError(owner, field, _sentence(reason)) from error


@transaction.atomic
def plan_make(*, survey: Survey, by: User, now: datetime) -> Plan:
    """Compute a survey's plan and store it as the installation's next revision."""
    computed = plan_compute(survey=survey)
    installation = Installation.objects.select_for_update().get(pk=survey.installation_id)
    last = Plan.objects.filter(installation=installation).aggregate(last=Max("revision"))["last"] or 0
    return Plan.objects.create(
        installation=installation,
        revision=last + 1,
        survey=survey,
        rule_book=computed.rulebook,
        rule_book_edition=computed.edition,
        schema=computed.schema,
        data=computed.to_dict(),
        made_by=by,
        made_at=now,
    )


def _sentence(reason: str) -> str:
    return f"{reason[:1].upper()}{reason[1:].rstrip('.')}."
