"""The plan a tablet takes along. Plans are never changed, so one is drawn once."""

from __future__ import annotations

import json
from functools import lru_cache

from calcs.drawing import elevation_svg
from calcs.plan import Plan as ComputedPlan
from inspections.queries.bundle_shape import CutPart, LoadPart, PanelPart, PlanPart
from jobs.models import Plan
from jobs.plan_page import panel_rows
from jobs.queries.work_pack import cut_row, load_rows


def plan_part(plan: Plan | None, system: str) -> tuple[PlanPart | None, dict[str, list[str]]]:
    """Return the plan for a tablet, and its findings' sentences by topic."""
    if plan is None:
        return None, {}
    return _plan_part(json.dumps(plan.data, sort_keys=True), plan.revision, system)


@lru_cache(maxsize=64)
def _plan_part(stored: str, revision: int, system: str) -> tuple[PlanPart, dict[str, list[str]]]:
    computed = ComputedPlan.from_dict(json.loads(stored))
    topics: dict[str, list[str]] = {}
    for finding in computed.findings:
        topics.setdefault(finding.topic, []).append(finding.sentence)
    cuts = [cut_row(cut, system) for cut in computed.cut_list]
    told = PlanPart(
        revision=revision,
        drawing=elevation_svg(computed, system),
        findings=[finding.sentence for finding in computed.findings],
        cut_list=[CutPart(**cut) for cut in cuts],
        panels=[
            PanelPart(
                name=row.name,
                note=row.note,
                count=row.count,
                width=row.width,
                left=row.left,
                right=row.right,
                bevel=row.bevel,
            )
            for row in panel_rows(computed)
        ],
        load_list=[
            LoadPart(name=row["name"], count=f"{row['quantity']} {row['unit']}".strip(), note=row["note"])
            for row in load_rows(computed)
        ],
    )
    return told, topics
