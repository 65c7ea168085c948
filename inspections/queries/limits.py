"""The limits and facts a record is held to, as they stand when the work begins."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from calcs.checks import Limit, Source, SourceKind
from calcs.rulebook import load_rulebook
from jobs.models import Installation, Job, Plan
from jobs.services.jobs import NEEDS_PLAN

#: Limits a job without a plan of its own takes from the rule book: (rule, side).
SERVICE_RULES = {
    "sweep.deposit": ("sweep.deposit", "maximum"),
    "fuel.moisture": ("fuel.moisture", "maximum"),
    "alarm.co_distance": ("alarm.co_distance", "range"),
    "room.co": ("room.co", "maximum"),
}
#: Fact -> limit. What these measure is there only where the plan has the limit: a hearth behind the
#: appliance, a wall protection with air behind it, a rule on the connector's length or on vents.
ASKED_IF_LIMITED = {
    "hearth_rear": "hearth.rear",
    "wall_air": "protection.air_space",
    "connector_length": "connector.length",
    "air_vents": "air.vent_area",
    "masonry_wall": "masonry.wall",
}


def limits_to_pin(job: Job) -> dict[str, Any]:
    """Return the limits that hold for a job as JSON: its plan's, else the house's latest plan's.

    What no plan gives comes from the listings and the rule book, also where somebody attached a plan to a
    visit: a plan limits what is built, not the air in the room. A new installation is held to its plan
    alone. A limit nobody gives stays absent, so that its measure is unknown.
    """
    installation = job.installation
    plan = plan_of(job)
    limits: dict[str, Any] = dict(plan.data["limits"]) if plan else {}
    if job.plan_id is None or job.kind not in NEEDS_PLAN:
        for name, limit in _service_limits(installation).items():
            limits.setdefault(name, limit.to_dict())
    return limits


def plan_of(job: Job) -> Plan | None:
    """Return the job's plan, or the latest one of its installation."""
    return job.plan or Plan.objects.filter(installation=job.installation).order_by("-revision").first()


def facts_to_pin(job: Job) -> dict[str, Any]:
    """Return what decides which items of a checklist are asked."""
    installation, plan = job.installation, plan_of(job)
    survey = plan.survey if plan else None
    protected = survey is not None and bool(survey.rear_protection or survey.side_protection)
    return {
        "rule_book": job.plan.rule_book if job.plan else installation.site.rule_book,
        "fuel": installation.appliance.fuel,
        "appliance_kind": installation.appliance.kind,
        "roof_covering": survey.roof_covering if survey else "",
        "member_kind": survey.member_kind if survey else "",
        "wall_protection": ("planned" if protected else "none") if survey else "",
        "placement": survey.placement if survey else "",
        "rafter_space": survey.rafter_vented if survey else "",
        "route": installation.route,
        "eaves_way": survey.eaves_way if survey else "",
        "flue_entry": survey.flue_entry if survey else "",
        **facts_of_limits(plan.data["limits"] if plan else None),
    }


def facts_of_limits(limits: Collection[str] | None) -> dict[str, str]:
    """Return which measures a plan limits that not every house has; None is no plan."""
    if limits is None:
        return dict.fromkeys(ASKED_IF_LIMITED, "")
    return {fact: "limited" if name in limits else "not limited" for fact, name in ASKED_IF_LIMITED.items()}


def _service_limits(installation: Installation) -> dict[str, Limit]:
    found = {}
    book = load_rulebook(installation.site.rule_book)
    for name, (rule, side) in SERVICE_RULES.items():
        if limit := book.limit(rule, side):
            found[name] = limit
    appliance, chimney = installation.appliance, installation.chimney
    listed = (
        ("service.draft", appliance.least_draft, "Pa", appliance),
        ("connector.clearance", appliance.connector_clearance, "m", appliance),
        ("chimney.clearance", chimney.clearance, "m", chimney),
        ("appliance.clearance.rear", appliance.clearance_rear, "m", appliance),
        ("appliance.clearance.left", appliance.clearance_side, "m", appliance),
        ("appliance.clearance.right", appliance.clearance_side, "m", appliance),
        ("appliance.clearance.corner", appliance.clearance_corner, "m", appliance),
        ("appliance.clearance.front", appliance.clearance_front, "m", appliance),
        ("appliance.clearance.above", appliance.clearance_above, "m", appliance),
    )
    for name, value, unit, listing in listed:
        if value is not None:
            source = Source(SourceKind.LISTING, listing.listing_reference or f"sheet of {listing}")
            found[name] = Limit(value, None, unit, source)
    return found
