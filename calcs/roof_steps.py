"""Steps a person can follow for what attic and roof ask."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from calcs.checks import Source, SourceKind
from calcs.outlet_rules import Demand
from calcs.routes import LINED_CHIMNEY
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings

#: Parts of a plain slope by what they stand above the highest point of penetration.
_RELATIONS: Mapping[str, str] = MappingProxyType(
    {
        "ridge": "d · tan α - p",
        "upper edge": "d · tan α - p",
        "easily lit covering": "d · tan α - p",
        "roof surface": "(r + R) · tan α - p",
    }
)


def _length(
    says: str, result: float | None, relation: str = "", symbol: str = "", source: Source | None = None
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _sheet(workings: Workings) -> Source:
    return Source(SourceKind.LISTING, workings.chimney.listing_reference)


def _pitch(workings: Workings) -> Step:
    return Step("Pitch of the roof", "atan(rise / 12)", "α", workings.levels.pitch_degrees, "deg")


def _chimney(workings: Workings) -> tuple[Step, Step]:
    sheet = _sheet(workings)
    return (
        _length("Outside diameter of the chimney", workings.chimney.outer_diameter, "", "D", sheet),
        _length("Clearance to combustible material", workings.chimney.clearance, "", "c", sheet),
    )


def shield_steps(workings: Workings) -> tuple[Step, ...]:
    """Reckoning of the free height under the roof.

    Parameters
    ----------
    workings : Workings
        The working with its shield

    Returns
    -------
    tuple of Step
        Opening, rise of the roof over half of it, free heights, what the shield leaves
    """
    fit, opening, tall = workings.shield, workings.opening, workings.chimney.shield_height
    if fit is None or opening is None or tall is None:
        return ()
    rise = opening / 2 * (workings.levels.slope or 0.0)
    return (
        _length("Side of the framed opening", opening, "", "b"),
        _pitch(workings),
        _length("Attic height at the flue centre", workings.survey.attic_height, "", "h"),
        _length("Rise of the roof over half of the opening", rise, "b / 2 · tan α", "v"),
        _length("Free height on the low side", fit.height_low, "h - v", "h_low"),
        _length("Free height on the high side", fit.height_high, "h + v", "h_high"),
        _length("Height of the shield", tall, "", "s", _sheet(workings)),
        _length("Left over the shield on the low side", fit.height_low - tall, "h_low - s"),
    )


def enclosure_steps(workings: Workings) -> tuple[Step, ...]:
    """Reckoning of the enclosure's panels.

    Parameters
    ----------
    workings : Workings
        The working with its enclosure

    Returns
    -------
    tuple of Step
        Heights of the panels' edges, width of the sides, tilt of the saw
    """
    fit, opening = workings.shield, workings.opening
    if fit is None or opening is None or not workings.enclosure:
        return ()
    low, high, side = workings.enclosure[:3]
    thick = low.thickness
    return (
        _length("Clear side inside the panels", opening, "", "b"),
        _length("Thickness of the panels", thick, "", "t"),
        _pitch(workings),
        _length("Low panel on its inner face, its longer one", low.height_left, "h_low", "h_low"),
        _length("High panel on its outer face, its longer one", high.height_left, "h_high + t · tan α"),
        _length("Sides, which cover the ends of the other two: width", side.width, "b + 2 t"),
        _length("Sides at their low edge", side.height_left, "h_low - t · tan α"),
        _length("Sides at their high edge", side.height_right, "h_high + t · tan α"),
        Step("Tilt of the saw for the low and high panel's top edge", "α", "", low.bevel_degrees, "deg"),
    )


def insulation_steps(workings: Workings) -> tuple[Step, ...]:
    """Reckoning of how far the shield stands above the insulation.

    Parameters
    ----------
    workings : Workings
        The working with its shield

    Returns
    -------
    tuple of Step
        Depths, and what stands above the insulation; none where a depth is not known
    """
    survey, tall = workings.survey, workings.chimney.shield_height
    if survey.member_depth is None or survey.insulation_depth is None or tall is None:
        return ()
    stands = survey.member_depth + tall - survey.insulation_depth
    return (
        _length("Depth of the ceiling framing the shield stands on", survey.member_depth, "", "d"),
        _length("Height of the shield", tall, "", "s", _sheet(workings)),
        _length("Depth of the insulation, from the ceiling up", survey.insulation_depth, "", "i"),
        _length("Shield above the insulation", stands, "d + s - i"),
    )


def opening_steps(workings: Workings) -> tuple[Step, ...]:
    """Reckoning of the hole in the roof.

    Parameters
    ----------
    workings : Workings
        The working with its roof opening

    Returns
    -------
    tuple of Step
        Across the slope, along it by each way of cutting, and between headers
    """
    hole, way, survey = workings.roof_opening, workings.roof_passage, workings.survey
    if hole is None or way is None:
        return ()
    steps = [
        *_chimney(workings),
        _length("Across the slope", hole.across, "D + 2 c", "b"),
        _pitch(workings),
        _length("Along the slope, edges cut plumb", hole.along_plumb_cut, "b / cos α", "l"),
    ]
    if survey.deck_thickness is not None:
        steps += [
            _length("Thickness of the deck", survey.deck_thickness, "", "t"),
            _length("Along the slope, edges cut square to the deck", hole.along_square_cut, "l + t · tan α"),
        ]
    steps.append(_length("Clear between headers that stand plumb", way.between_plumb_headers, "l"))
    if survey.rafter_depth is not None:
        steps += [
            _length("Depth of the rafters", survey.rafter_depth, "", "r"),
            _length(
                "Clear between headers square to the rafters", way.between_square_headers, "l + r · tan α"
            ),
        ]
    return tuple(steps)


def termination_steps(workings: Workings) -> tuple[Step, ...]:
    """Reckoning of the outlet's height.

    Parameters
    ----------
    workings : Workings
        The working with its termination

    Returns
    -------
    tuple of Step
        The passage through the roof, each demand, and which governs
    """
    found, outer = workings.termination, workings.chimney.outer_diameter
    lined = workings.survey.route == LINED_CHIMNEY
    if lined:
        outer = workings.survey.masonry_depth
    if found is None or outer is None:
        return ()
    survey = workings.survey
    passage = found.height_above_centre - found.height_above_penetration
    sloped = survey.ridge_distance is not None and survey.roof_shape != "flat"
    steps = [
        _pitch(workings),
        _length("Half of the masonry's depth along the slope", outer / 2, "", "r")
        if lined
        else _length("Half of the chimney's outside diameter", outer / 2, "D / 2", "r", _sheet(workings)),
    ]
    if sloped:
        top = "upper edge" if survey.roof_shape == "shed" else "ridge"
        steps.append(_length(f"Flue centre to the {top}, level", survey.ridge_distance, "", "d"))
    highest = "Highest point of penetration, uphill, above where the flue's centre passes"
    plain = sloped and not _hip_measured(workings)
    steps.append(_length(highest, passage, "min(r, d) · tan α" if plain else "", "p"))
    book = workings.rulebook
    radius = book.find("termination.radius") or book.find("termination.from_surface")
    if radius is not None:
        steps.append(
            _length("Looked at around the chimney's outside, level", radius.value, "", "R", radius.source)
        )
    relations = _RELATIONS if plain else {}
    for number, demand in enumerate(found.demands, start=1):
        steps += _demand_steps(demand, number, relations)
    heights = ", ".join(f"H{number}" for number in range(1, len(found.demands) + 1))
    relation = f"max({heights})" if len(found.demands) > 1 else "H1"
    return (
        *steps,
        _length(
            f"Outlet above the highest point of penetration; {found.governed_by} governs",
            found.height_above_penetration, relation, "H", found.source,
        ),
        _length("Outlet above where the flue's centre passes", found.height_above_centre, "H + p"),
        _length("Outlet above the downhill side", found.height_above_downhill, "H + p + r · tan α"),
    )  # fmt: skip


def _hip_measured(workings: Workings) -> bool:
    """Whether a hip roof's end is known, so that its planes are cut instead of a single slope."""
    survey = workings.survey
    return survey.roof_shape == "hip" and None not in (survey.eaves_distance, survey.hip_distance)


def _demand_steps(demand: Demand, number: int, relations: Mapping[str, str]) -> list[Step]:
    over, top, height = f"o{number}", f"h{number}", f"H{number}"
    name = demand.name
    if demand.top is None or demand.over is None:
        return [_length(_begun(name), demand.height, "", height, demand.source)]
    if demand.top < 0 and demand.place is None:
        return [
            _length("Collar below the highest point of penetration", -demand.top, "", top),
            _length("Asked for from the collar up", demand.over, "", over, demand.source),
            _length(f"Outlet for the {name}", demand.height, f"{over} - {top}", height, demand.source),
        ]
    if math.isclose(demand.top, 0.0, abs_tol=1e-9):
        return [_length(f"Asked for above the {name}", demand.height, "", height, demand.source)]
    relation = relations.get(name, "" if name in _RELATIONS else "its height - p")
    if not demand.over:
        return [_length(f"No lower than the {name}", demand.height, relation, height, demand.source)]
    stands = "Ridge" if name == "easily lit covering" else _begun(name)
    above = f"{stands} above the highest point of penetration"
    return [
        _length(above, demand.top, relation, top),
        _length("Asked for above it", demand.over, "", over, demand.source),
        _length(f"Outlet for the {name}", demand.height, f"{top} + {over}", height, demand.source),
    ]


def _begun(name: str) -> str:
    return name[:1].upper() + name[1:]
