"""Where the stack of sections begins, where no joint may lie and how high it has to reach."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.sections import choose_sections

if TYPE_CHECKING:
    from calcs.workings import Workings


def stack_sections(workings: Workings) -> None:
    """Stack sections from the support's first joint to the outlet, joints out of ceiling and roof.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `sections`, `outlet_required` and `outlet`
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
