"""The plan at hand on site: drawing, cut list and what it found out beforehand."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from calcs.drawing import elevation_svg
from calcs.findings import Finding
from calcs.framing import Cut
from jobs.models import Plan
from jobs.plan_page import PanelRow, panel_rows
from jobs.queries.plans import plan_read


@dataclass(frozen=True)
class PlanSheet:
    """What a crew looks at while it works."""

    plan: Plan
    drawing: str
    findings: tuple[Finding, ...]
    cut_list: tuple[Cut, ...]
    panels: tuple[PanelRow, ...]
    system: str

    def says(self, topics: Collection[str]) -> tuple[Finding, ...]:
        """Return what the plan found out on these topics."""
        return tuple(one for one in self.findings if one.topic in topics)


def plan_sheet(plan: Plan | None) -> PlanSheet | None:
    """Return the plan's sheet; None for a job without a plan."""
    if plan is None:
        return None
    computed = plan_read(plan)
    system = plan.installation.site.unit_system
    return PlanSheet(
        plan=plan,
        drawing=elevation_svg(computed, system),
        findings=computed.findings,
        cut_list=computed.cut_list,
        panels=tuple(panel_rows(computed)),
        system=system,
    )
