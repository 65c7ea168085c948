"""Where the stack of sections begins, where no joint may lie and how high it has to reach."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from calcs.checks import Provenance, Source, SourceKind
from calcs.routes import FLAT_CEILING, VAULTED_CEILING
from calcs.routes.vault import rafter_drop
from calcs.sections import SectionPlan, choose_sections
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings


_HEIGHTS = ("survey.floor_to_ceiling", "survey.ceiling_thickness", "survey.member_depth")
#: What the heights of a stack rest on, by route.
_NEEDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        FLAT_CEILING: (
            *_HEIGHTS, "survey.attic_height", "survey.deck_thickness", "chimney.support_projection",
            "chimney.sections",
        ),
        VAULTED_CEILING: (
            *_HEIGHTS, "survey.deck_thickness", "chimney.box_projection", "chimney.sections",
        ),
    }
)  # fmt: skip
#: Where no joint may lie, by route.
_ZONES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {FLAT_CEILING: ("ceiling framing", "roof"), VAULTED_CEILING: ("ceiling and roof",)}
)


def stack_sections(workings: Workings) -> None:
    """Stack sections from the support's first joint to the outlet, joints out of ceiling and roof.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `sections`, `outlet_required` and `outlet`, and how they were reckoned
    """
    levels = workings.levels
    purpose = "choose sections"
    known = workings.known(purpose, *_NEEDS[workings.survey.route])
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
    In a vaulted ceiling the two are one.
    """
    levels = workings.levels
    start = levels.first_joint or 0.0
    if workings.survey.route == VAULTED_CEILING:
        drop = rafter_drop(workings) or 0.0
        return [((levels.ceiling or 0.0) - drop - start, (levels.roof or 0.0) + drop - start)]
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
        *_start_steps(workings),
        _length("Height the sections have to reach", plan.required, "z_o - z_j", "H"),
    ]
    names = _ZONES.get(workings.survey.route, ())
    for name, (low, high) in zip(names, plan.forbidden_zones, strict=False):
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


def _start_steps(workings: Workings) -> list[Step]:
    """From the ceiling down to where the chimney begins."""
    levels, chimney, sheet = workings.levels, workings.chimney, _sheet(workings)
    ceiling = _length("Ceiling above the floor", levels.ceiling, "", "z_c")
    if workings.survey.route == VAULTED_CEILING:
        return [
            ceiling,
            _length("Ceiling falls to the box's low side by", rafter_drop(workings), "o / 2 tan α", "v"),
            _length("Box below the ceiling there", chimney.box_projection, "", "p", sheet),
            _length("First joint above the floor", levels.first_joint, "z_c - v - p", "z_j"),
        ]
    return [
        ceiling,
        _length("Support down to the first joint", chimney.support_projection, "", "p", sheet),
        _length("First joint above the floor", levels.first_joint, "z_c - p", "z_j"),
    ]


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
