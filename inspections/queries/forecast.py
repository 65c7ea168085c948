"""What the office should mend before a crew drives out: measures whose limit is not known."""

from __future__ import annotations

from calcs.wording import in_units
from inspections.checklists import checklist_for
from inspections.queries.applicable import facts_ask
from inspections.queries.limits import facts_to_pin, limits_to_pin
from jobs.models import Job


def forecast(job: Job) -> tuple[str, ...]:
    """Return the measures that will stay unknown because neither plan, listing nor rule book limits them."""
    checklist = checklist_for(kind=job.kind, route=job.installation.route)
    limits, facts = limits_to_pin(job), facts_to_pin(job)
    return tuple(
        in_units(item.ask, job.installation.site.unit_system)
        for _, item in checklist.items()
        if item.limit and item.limit not in limits and facts_ask(item, facts)
    )
