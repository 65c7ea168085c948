"""Where the chimney passes the roof and how high it stands above it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calcs.checks import EQUAL_WITHIN
from calcs.roof import roof_opening, roof_passage
from calcs.roof_steps import opening_steps, termination_steps
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.vault import open_slope
from calcs.routes.wall import THROUGH
from calcs.survey import Obstacle
from calcs.termination import termination_height

if TYPE_CHECKING:
    from calcs.workings import Workings


def pass_roof(workings: Workings) -> None:
    """Size the hole in the roof and find the height of the outlet above it.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `roof_opening`, `roof_passage` and `termination`
    """
    pitch = workings.levels.pitch_degrees
    if pitch is None:
        workings.missing.add("survey.roof_rise", "size the hole in the roof and the height above it")
        return
    _open_roof(workings, pitch)
    _raise_outlet(workings, pitch)


def _open_roof(workings: Workings, pitch: float) -> None:
    survey = workings.survey
    if survey.route == VAULTED_CEILING:
        open_slope(workings)
        return
    beside = survey.route == THROUGH_WALL and survey.eaves_way != THROUGH
    if beside or survey.route == LINED_CHIMNEY:
        return
    listed = workings.known("size the hole in the roof", "chimney.outer_diameter", "chimney.clearance")
    if pitch and survey.deck_thickness is None:
        workings.missing.add("survey.deck_thickness", "size the hole in the roof")
    if not listed:
        return
    deck, rafters = survey.deck_thickness or 0.0, survey.rafter_depth or 0.0
    workings.roof_opening = roof_opening(listed[0], listed[1], pitch, deck)
    workings.roof_passage = roof_passage(listed[0], listed[1], pitch, deck, rafters)
    workings.working["roof opening"] = opening_steps(workings)


def _raise_outlet(workings: Workings, pitch: float) -> None:
    survey, chimney, levels = workings.survey, workings.chimney, workings.levels
    lined = survey.route == LINED_CHIMNEY
    wanted = ["survey.masonry_depth" if lined else "chimney.outer_diameter"]
    if survey.roof_shape != "flat":
        wanted.append("survey.ridge_distance")
    if not workings.known("find the height above the roof", *wanted):
        return
    near, uphill = openings_of(workings)
    foot = None if levels.roof is None or levels.collar is None else levels.roof - levels.collar
    workings.termination = termination_height(
        survey.roof_shape,
        pitch,
        rulebook=workings.rulebook,
        ridge_distance=survey.ridge_distance,
        outer_diameter=(survey.masonry_depth if lined else chimney.outer_diameter) or 0.0,
        obstacles=[one for one in survey.obstacles if one.kind != "opening"],
        openings=near,
        covering=survey.roof_covering,
        brace_threshold=chimney.brace_threshold,
        eaves_distance=survey.eaves_distance,
        hip_distance=survey.hip_distance,
        openings_uphill=uphill,
        foot_below=foot,
    )
    workings.working["termination"] = termination_steps(workings)


def openings_of(workings: Workings) -> tuple[list[Obstacle], list[Obstacle]]:
    """Openings that count by their distance, and those that may lie higher up the same slope.

    Parameters
    ----------
    workings : Workings
        The working so far

    Returns
    -------
    tuple of two lists of Obstacle
        By distance; and further away, higher than the flue's passage and no further than the ridge

    Notes
    -----
    A survey holds no direction of an opening, so one that may lie uphill is taken to.

    References
    ----------
    Approved Document J, Diagram 17: below an opening on a pitched roof, or within 2300 mm of it; that the
    first holds at any distance is from memory.
    """
    survey = workings.survey
    openings = [one for one in survey.obstacles if one.kind == "opening"]
    within = workings.rulebook.value("termination.opening_distance")
    counted = within is not None and workings.rulebook.find("termination.below_opening") is not None
    if within is None or not counted or not workings.levels.slope or survey.ridge_distance is None:
        return openings, []
    reach = within + (workings.chimney.outer_diameter or 0.0) / 2 + EQUAL_WITHIN
    ridge = survey.ridge_distance
    uphill = [one for one in openings if reach < one.distance <= ridge and one.height > 0]
    return [one for one in openings if one not in uphill], uphill
