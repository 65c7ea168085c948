"""The working of a liner in a masonry chimney: fit, length, outlet, and the limits of the masonry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calcs.checks import Limit, Source, SourceKind
from calcs.routes.liner import flue_area, least_side, outlet_height, outside_of, room_around
from calcs.sheets import chimney_source
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings

_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "plane geometry")


def line_flue(workings: Workings) -> None:
    """Find whether the liner goes in, how long it is and where it ends.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `liner_length`, `outlet`, `attic_protection` and steps
    """
    survey, chimney = workings.survey, workings.chimney
    workings.attic_protection = "none"
    for name, what in (
        ("flue_shape", "see whether the liner goes in"),
        ("flue_entry", "see what the liner passes"),
        ("chimney_place", "find the draft and the masonry's clearance"),
    ):
        if not getattr(survey, name):
            workings.missing.add(f"survey.{name}", what)
    workings.known(
        "see whether the liner goes in",
        "survey.flue_width", "chimney.outer_diameter", "chimney.insulation_thickness", "chimney.liner_room",
    )  # fmt: skip
    if survey.flue_shape == "rectangular":
        workings.known("see whether the liner goes in", "survey.flue_depth")
    if survey.flue_entry == "fireplace":
        workings.known(
            "see whether the liner passes the damper", "survey.throat_width", "survey.throat_depth"
        )
    workings.known(
        "find the liner's length and the height of its end",
        "survey.flue_entry_height", "survey.flue_top_height", "survey.chimney_above_roof",
        "survey.masonry_depth", "chimney.liner_above_crown",
    )  # fmt: skip
    if chimney.liner_zero_clearance is None:
        workings.missing.add("chimney.liner_zero_clearance", "hold the masonry's clearance")
    workings.outlet = outlet_height(survey, chimney)
    entry = survey.flue_entry_height
    if workings.outlet is not None and entry is not None and workings.outlet > entry:
        workings.liner_length = workings.outlet - entry
    workings.working["liner"] = _liner_steps(workings)


def require_outlet(workings: Workings) -> None:
    """Height the outlet of the lined chimney has to reach.

    Parameters
    ----------
    workings : Workings
        The working so far, with its termination; receives `outlet_required`
    """
    roof, found = workings.levels.roof, workings.termination
    if roof is not None and found is not None:
        workings.outlet_required = roof + found.height_above_centre


def above_passage(workings: Workings) -> float | None:
    """Height of the liner's end above the highest point where the masonry passes the roof.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height [m]; None where a figure is not known
    """
    above, crown = workings.survey.chimney_above_roof, workings.chimney.liner_above_crown
    return None if above is None or crown is None else above + crown


def gap_around(workings: Workings) -> float | None:
    """Gap all round the liner in the flue's narrowest section.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Gap, negative where it does not go in [m]; None where not known
    """
    side, outside = least_side(workings.survey), outside_of(workings.chimney)
    return None if not side or not outside else room_around(side, outside)


def liner_limits(workings: Workings) -> dict[str, Limit]:
    """What the liner and the masonry around it have to keep.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    dict of str to Limit
        liner.room, liner.above_crown, masonry.clearance, masonry.wall [m]
    """
    survey, chimney, book = workings.survey, workings.chimney, workings.rulebook
    sheet, limits = chimney_source(chimney), {}
    if chimney.liner_room is not None:
        limits["liner.room"] = Limit(chimney.liner_room, None, "m", sheet)
    if chimney.liner_above_crown is not None:
        limits["liner.above_crown"] = Limit(chimney.liner_above_crown, None, "m", sheet)
    if chimney.liner_zero_clearance:
        limits["masonry.clearance"] = Limit(0.0, None, "m", sheet)
    elif survey.chimney_place and (ruled := book.limit(f"liner.masonry_clearance.{survey.chimney_place}")):
        limits["masonry.clearance"] = ruled
    if wall := book.limit("liner.masonry_wall"):
        limits["masonry.wall"] = wall
    return limits


def area_ratio(workings: Workings) -> float | None:
    """Area of the existing flue, as a multiple of the collar's.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Ratio [-]; None where flue or collar was not measured
    """
    survey, collar = workings.survey, workings.appliance.collar_diameter
    if not survey.flue_width or not collar or not survey.flue_shape:
        return None
    if survey.flue_shape == "rectangular" and not survey.flue_depth:
        return None
    return flue_area(survey.flue_shape, survey.flue_width, survey.flue_depth) / flue_area("round", collar)


def _length(
    says: str, result: float | None, relation: str = "", symbol: str = "", source: Source | None = None
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _liner_steps(workings: Workings) -> tuple[Step, ...]:
    survey, chimney, sheet = workings.survey, workings.chimney, chimney_source(workings.chimney)
    steps = [
        _length("Diameter or lesser side of the existing flue", least_side(survey), "", "S"),
        _length("Outside of the liner", chimney.outer_diameter, "", "D", sheet),
        _length("Insulation around it", chimney.insulation_thickness, "", "i", sheet),
        _length("Outside with the insulation", outside_of(chimney), "D + 2 i", "D_i", _GEOMETRY),
        _length("Gap all round", gap_around(workings), "(S - D_i) / 2", "", _GEOMETRY),
        _length("Gap the sheet asks for", chimney.liner_room, "", "", sheet),
        _length("Top of the masonry above the floor", survey.flue_top_height, "", "z_m"),
        _length("Liner above it", chimney.liner_above_crown, "", "a", sheet),
        _length("Outlet above the floor", workings.outlet, "z_m + a", "z_o", _GEOMETRY),
        _length("Where the liner begins", survey.flue_entry_height, "", "z_e"),
        _length("Length of the liner", workings.liner_length, "z_o - z_e", "", _GEOMETRY),
    ]
    ratio = area_ratio(workings)
    if ratio is not None:
        says = "Area of the existing flue, as a multiple of the collar's"
        steps.append(Step(says, "A / A_collar", "", ratio, "x", "", _GEOMETRY))
    return tuple(step for step in steps if step.result is not None)
