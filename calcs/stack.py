"""Where the stack of sections begins, where no joint may lie and how high it has to reach."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from calcs.checks import Provenance, Source, SourceKind
from calcs.routes import FLAT_CEILING, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.vault import rafter_drop
from calcs.routes.wall import THROUGH
from calcs.routes.wall_plan import edge_demand, wall_offset
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
        THROUGH_WALL: (
            "survey.thimble_height", "survey.roof_edge_height", "survey.eaves_overhang",
            "survey.soffit_height", "chimney.tee_rise", "chimney.sections",
        ),
    }
)  # fmt: skip
#: Where no joint may lie, by route.
_ZONES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        FLAT_CEILING: ("ceiling framing", "roof"),
        VAULTED_CEILING: ("ceiling and roof",),
        THROUGH_WALL: ("eaves",),
    }
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
    outdoors = workings.survey.route == THROUGH_WALL
    if levels.covering is None and not outdoors:
        workings.missing.add("survey.covering_thickness", purpose)
    if levels.roof is None or levels.first_joint is None or workings.termination is None or not known:
        return
    workings.outlet_required = levels.roof + workings.termination.height_above_centre
    if outdoors:
        workings.outlet_required = max(workings.outlet_required, edge_demand(workings) or 0.0)
    workings.sections = choose_sections(
        max(0.0, workings.outlet_required - levels.first_joint),
        workings.chimney.sections,
        _forbidden_zones(workings),
        supported_height=carried_height(workings),
        above_roof=stands_free(workings),
        brace_threshold=workings.termination.brace_threshold,
        offset=wall_offset(workings),
        offset_between=_below_eaves(workings),
    )
    if workings.sections.pieces:
        workings.outlet = levels.first_joint + workings.sections.total
    workings.known("see whether the support carries the chimney", f"chimney.{_carries(workings)}")
    workings.working["sections"] = _stack_steps(workings, workings.sections)
    if workings.sections.pieces:
        workings.working["support"] = _support_steps(workings, workings.sections)
        workings.working["brace"] = _brace_steps(workings, workings.sections)


def _carries(workings: Workings) -> str:
    """Figure of the sheet that says what the support carries."""
    return "wall_supported_height" if workings.survey.route == THROUGH_WALL else "supported_height"


def carried_height(workings: Workings) -> float | None:
    """Greatest height that the support of the route carries.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height by the sheet [m]; None where it does not say
    """
    carries: float | None = getattr(workings.chimney, _carries(workings))
    return carries


def stands_free(workings: Workings) -> float | None:
    """Least height of the chimney above what holds it last: the roof, or the bracket under the eaves.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height [m]; None while it is not known
    """
    found, survey = workings.termination, workings.survey
    if found is None:
        return None
    if survey.route != THROUGH_WALL or survey.eaves_way == THROUGH:
        return found.height_above_downhill
    if workings.outlet_required is None or survey.soffit_height is None:
        return None
    return max(0.0, workings.outlet_required - survey.soffit_height)


def _below_eaves(workings: Workings) -> tuple[float, float] | None:
    """Heights above the first joint between which an elbow pair stands clear of the eaves."""
    survey, start = workings.survey, workings.levels.first_joint
    if survey.route != THROUGH_WALL or survey.soffit_height is None or start is None:
        return None
    return 0.0, max(0.0, survey.soffit_height - (workings.chimney.clearance or 0.0) - start)


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
    if workings.survey.route == THROUGH_WALL:
        soffit = workings.survey.soffit_height
        if workings.survey.eaves_way != THROUGH or soffit is None or levels.roof is None:
            return []
        reach = (workings.opening or 0.0) / 2 * (levels.slope or 0.0)
        return [(soffit - start, max(soffit, levels.roof + reach) - start)]
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
        *_edge_steps(workings),
        _length(
            "Outlet above the floor, at least", workings.outlet_required, _outlet_relation(workings), "z_o"
        ),
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


def _edge_steps(workings: Workings) -> list[Step]:
    """What the roof's edge beside a chimney outdoors asks for."""
    demand = edge_demand(workings) if workings.survey.route == THROUGH_WALL else None
    if demand is None:
        return []
    return [
        _length("Roof's edge above the floor", workings.survey.roof_edge_height, "", "z_e"),
        _length("Outlet above the floor, for what is asked above a passage", demand, "z_e + h_p", "z_p"),
    ]


def _outlet_relation(workings: Workings) -> str:
    outdoors = workings.survey.route == THROUGH_WALL and edge_demand(workings) is not None
    return "max(z_r + h_o, z_p)" if outdoors else "z_r + h_o"


def _start_steps(workings: Workings) -> list[Step]:
    """From the ceiling down to where the chimney begins."""
    levels, chimney, sheet = workings.levels, workings.chimney, _sheet(workings)
    if workings.survey.route == THROUGH_WALL:
        return [
            _length("Thimble's centre above the floor", workings.survey.thimble_height, "", "z_t"),
            _length("Tee above it", chimney.tee_rise, "", "r", sheet),
            _length("First joint above the floor", levels.first_joint, "z_t + r", "z_j"),
        ]
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
    carries = carried_height(workings)
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
    free = stands_free(workings)
    if free is None:
        return ()
    last = (
        "the roof on the downhill side" if free == outlet.height_above_downhill else "the uppermost bracket"
    )
    return (
        _length(f"Outlet above {last}, at least", free, "", "h_d"),
        _length("Over-run of the sections", plan.over_run, "", "o"),
        _length(
            "Stands free above it"
            if last != "the roof on the downhill side"
            else "Stands free above the roof",
            free + plan.over_run,
            "h_d + o",
            "h",
        ),
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
