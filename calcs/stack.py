"""Where the stack of sections begins, where no joint may lie and how high it has to reach."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.checks import Provenance, Source, SourceKind
from calcs.sections import SectionPlan, choose_sections
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings


def stack_sections(workings: Workings) -> None:
    """Stack sections from the support's first joint to the outlet, joints out of ceiling and roof.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `sections`, `outlet_required` and `outlet`, and how they were reckoned
    """
    levels = workings.levels
    purpose = "choose sections"
    known = workings.known(
        purpose,
        "survey.floor_to_ceiling",
        "survey.ceiling_thickness",
        "survey.member_depth",
        "survey.attic_height",
        "survey.deck_thickness",
        "chimney.support_projection",
        "chimney.sections",
    )
    if levels.covering is None:
        workings.missing.add("survey.covering_thickness", purpose)
    if levels.roof is None or levels.first_joint is None or workings.termination is None or not known:
        return
    workings.outlet_required = levels.roof + workings.termination.height_above_centre
    workings.sections = choose_sections(
        workings.outlet_required - levels.first_joint,
        workings.chimney.sections,
        _forbidden_zones(workings),
        supported_height=workings.chimney.supported_height,
        above_roof=workings.termination.height_above_downhill,
        brace_threshold=workings.termination.brace_threshold,
    )
    if workings.sections.pieces:
        workings.outlet = levels.first_joint + workings.sections.total
    workings.known("see whether the support carries the chimney", "chimney.supported_height")
    workings.working["sections"] = _stack_steps(workings, workings.sections)
    if workings.sections.pieces:
        workings.working["support"] = _support_steps(workings, workings.sections)
        workings.working["brace"] = _brace_steps(workings, workings.sections)


def _forbidden_zones(workings: Workings) -> list[tuple[float, float]]:
    """Heights above the first joint taken up by the ceiling framing and by the roof around the opening.

    Rafters beside the opening hide a joint as the deck does; where their depth is not known the deck counts.
    """
    levels = workings.levels
    start = levels.first_joint or 0.0
    zones = []
    if levels.ceiling is not None and levels.framing_top is not None:
        zones.append((levels.ceiling - start, levels.framing_top - start))
    if levels.deck_underside is not None and levels.roof is not None:
        slope = levels.slope or 0.0
        reach = (workings.opening or 0.0) / 2 * slope
        rafters = (workings.survey.rafter_depth or 0.0) * math.hypot(1, slope)
        zones.append((levels.deck_underside - rafters - reach - start, levels.roof + reach - start))
    return zones


def _length(
    says: str, result: float | None, relation: str = "", symbol: str = "", source: Source | None = None
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _sheet(workings: Workings) -> Source:
    chimney = workings.chimney
    return Source(SourceKind.LISTING, chimney.listing_reference or f"sheet of {chimney.name or 'chimney'}")


def _stack_steps(workings: Workings, plan: SectionPlan) -> tuple[Step, ...]:
    """From the roof's surface down to the first joint, then up again in sections."""
    levels, outlet = workings.levels, workings.termination
    if outlet is None or levels.roof is None:
        return ()
    steps = [
        _length("Weather surface of the roof at the flue centre, above the floor", levels.roof, "", "z_r"),
        _length("Outlet above that surface", outlet.height_above_centre, "", "h_o", outlet.source),
        _length("Outlet above the floor, at least", workings.outlet_required, "z_r + h_o", "z_o"),
        _length("Ceiling above the floor", levels.ceiling, "", "z_c"),
        _length(
            "Support down to the first joint", workings.chimney.support_projection, "", "p", _sheet(workings)
        ),
        _length("First joint above the floor", levels.first_joint, "z_c - p", "z_j"),
        _length("Height the sections have to reach", plan.required, "z_o - z_j", "H"),
    ]
    for name, (low, high) in zip(("ceiling framing", "roof"), plan.forbidden_zones, strict=False):
        steps.append(_length(f"No joint in the {name}: from, above the first joint", low))
        steps.append(_length("to", high))
    if not plan.pieces:
        return tuple(steps)
    stack = " + ".join(f"{count} × {name}" for name, count in plan.counts().items())
    steps += [
        _length("Effective length of the sections together", plan.total, stack, "L", _sheet(workings)),
        _length("Over-run, the least there is", plan.over_run, "L - H"),
    ]
    return tuple(steps)


def _support_steps(workings: Workings, plan: SectionPlan) -> tuple[Step, ...]:
    carries = workings.chimney.supported_height
    if carries is None:
        return ()
    return (
        _length("Height of the chimney above its support", plan.total, "", "L"),
        _length("Greatest height the support carries", carries, "", "L_s", _sheet(workings)),
        _length("Left", plan.supported_margin, "L_s - L"),
    )


def _brace_steps(workings: Workings, plan: SectionPlan) -> tuple[Step, ...]:
    outlet = workings.termination
    if outlet is None or outlet.brace_threshold is None or plan.braces is None:
        return ()
    rule = workings.rulebook.find("termination.brace_threshold")
    by_sheet = workings.chimney.brace_threshold is not None
    source = _sheet(workings) if by_sheet else rule.source if rule else None
    free = outlet.height_above_downhill
    return (
        _length("Outlet above the roof on the downhill side, at least", free, "", "h_d"),
        _length("Over-run of the sections", plan.over_run, "", "o"),
        _length("Stands free above the roof", free + plan.over_run, "h_d + o", "h"),
        _length("May stand free without a brace", outlet.brace_threshold, "", "b", source),
        Step(
            "Braces",
            "⌈h / b⌉ - 1",
            result=float(plan.braces),
            source=None
            if by_sheet
            else Source(SourceKind.COMMON_PRACTICE, "common practice", provenance=Provenance.SECOND_HAND),
        ),
    )
