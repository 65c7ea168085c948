"""The working of a chimney through the wall: framing between the studs, thimble, brackets, outlet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calcs.checks import Limit, Source, SourceKind
from calcs.framing import nearest_fit
from calcs.routes.wall import (
    OFFSET,
    STRAIGHT,
    bracket_heights,
    eaves_offset,
    first_joint,
    flue_from_wall,
    past_eaves,
    standoff,
    thimble_rise,
    wall_section,
)
from calcs.section_plan import Offset
from calcs.sheets import chimney_source
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings

_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "plane geometry")


def pass_wall(workings: Workings) -> None:
    """Find what leads through the wall and holds the chimney outside.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `nearest`, `wall_piece`, `brackets`, `attic_protection` and steps
    """
    survey, chimney = workings.survey, workings.chimney
    workings.attic_protection = "none"
    _place(workings)
    workings.known(
        "find what leads through the wall",
        "survey.wall_thickness", "chimney.wall_standoff", "chimney.thimble_projection",
        "chimney.tee_branch", "chimney.sections",
    )  # fmt: skip
    for name, what in (("eaves_way", "pass the eaves"), ("wall_side", "find the height above the roof")):
        if not getattr(survey, name):
            workings.missing.add(f"survey.{name}", what)
    workings.known("see how the chimney passes the eaves", "survey.eaves_overhang", "survey.soffit_height")
    if survey.eaves_way == STRAIGHT:
        workings.known("see how far the support reaches", "chimney.wall_standoff_greatest")
    stands, outer = standoff(survey, chimney), chimney.outer_diameter
    inside, branch, thick = chimney.thimble_projection, chimney.tee_branch, survey.wall_thickness
    if None not in (stands, outer, inside, branch, thick) and chimney.sections:
        centre = (stands or 0.0) + (outer or 0.0) / 2
        workings.wall_piece = wall_section(
            centre, thick or 0.0, inside or 0.0, branch or 0.0, chimney.sections
        )
        workings.working["wall"] = _wall_steps(workings, centre)
    spaced = workings.known("space the wall brackets", "chimney.bracket_spacing")
    start = first_joint(survey, chimney)
    if spaced and spaced[0] and start is not None and survey.soffit_height is not None:
        workings.brackets = bracket_heights(start, survey.soffit_height, spaced[0])


def _place(workings: Workings) -> None:
    """Nearest place between two studs, where the thimble does not fall clear; clearances are not in it."""
    survey, opening, centre = workings.survey, workings.opening, workings.wall_to_centre
    first, spacing, thickness = survey.wall_to_first_member, survey.member_spacing, survey.member_thickness
    fits = workings.bay_fit is not None and workings.bay_fit.fits
    if fits or opening is None or centre is None or first is None or spacing is None or thickness is None:
        return
    workings.nearest = nearest_fit(
        first, spacing, thickness, opening, centre, members_cut=workings.members_cut
    )


def wall_offset(workings: Workings) -> Offset | None:
    """Elbow pair of the stack below the eaves.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    Offset or None
        The pair with the sections between its elbows [m]; None without one
    """
    found = eaves_offset(workings.survey, workings.chimney)
    if found is None:
        return None
    names = {one.effective_length: one.name for one in workings.chimney.sections}
    pieces = tuple(names[length] for length in found.pieces if length in names)
    return Offset(found.angle_degrees, found.between, found.rise, found.run, pieces)


def edge_demand(workings: Workings) -> float | None:
    """Least height of the outlet above the floor so that it clears the roof's edge beside it.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height [m]; None where the rule book or the edge's height says nothing

    Notes
    -----
    A chimney that passes beside the roof never passes through it: what a code asks for above the passage is
    kept above the roof's edge, common practice.
    """
    book, edge = workings.rulebook, workings.survey.roof_edge_height
    above = book.value("termination.above_penetration")
    if above is None:
        above = book.value("termination.above_intersection")
    return None if above is None or edge is None else edge + above


def wall_limits_of(workings: Workings) -> dict[str, Limit]:
    """What thimble, eaves, brackets and outlet have to keep.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives what is missing

    Returns
    -------
    dict of str to Limit
        thimble.height, thimble.projection, wall.standoff, eaves.clearance, bracket.spacing,
        termination.above_edge [m]
    """
    survey, chimney, sheet = workings.survey, workings.chimney, chimney_source(workings.chimney)
    limits: dict[str, Limit] = {}
    if chimney.thimble_projection is not None:
        limits["thimble.projection"] = Limit(chimney.thimble_projection, None, "m", sheet)
    stands = standoff(survey, chimney)
    if stands is not None:
        limits["wall.standoff"] = Limit(stands, chimney.wall_standoff_greatest, "m", sheet)
    if chimney.clearance is not None:
        limits["eaves.clearance"] = Limit(chimney.clearance, None, "m", sheet)
    if chimney.bracket_spacing is not None:
        limits["bracket.spacing"] = Limit(None, chimney.bracket_spacing, "m", sheet)
    edge = survey.roof_edge_height
    if workings.outlet_required is not None and edge is not None:
        source = workings.termination.source if workings.termination is not None else _GEOMETRY
        limits["termination.above_edge"] = Limit(workings.outlet_required - edge, None, "m", source)
    return limits


def thimble_limit(workings: Workings, clearance: Limit | None, outside: float | None) -> Limit | None:
    """Between which heights the thimble's centre lies.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    clearance : Limit or None
        Clearance of the connector [m]
    outside : float or None
        Outside of the connector [m]

    Returns
    -------
    Limit or None
        From the collar and the rise of the run, to the connector's clearance under the ceiling [m]; None
        while the collar, the run or the clearance is not known
    """
    collar, rise = workings.levels.collar, thimble_rise(workings)
    ceiling = workings.survey.floor_to_ceiling
    if collar is None or rise is None or clearance is None or clearance.minimum is None or outside is None:
        return None
    most = None if ceiling is None else ceiling - clearance.minimum - outside / 2
    return Limit(collar + rise, most, "m", clearance.source)


def _length(
    says: str, result: float | None, relation: str = "", symbol: str = "", source: Source | None = None
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _wall_steps(workings: Workings, centre: float) -> tuple[Step, ...]:
    survey, chimney, sheet = workings.survey, workings.chimney, chimney_source(workings.chimney)
    overhang = survey.eaves_overhang
    steps = [
        _length("Chimney's outside from the wall, at least", chimney.wall_standoff, "", "", sheet),
        _length("Its clearance", chimney.clearance, "", "c", sheet),
    ]
    if overhang is not None and chimney.clearance is not None:
        steps += [
            _length("Eaves with their gutter beyond the wall", overhang, "", "e"),
            _length(
                "Off the wall so far it clears them", past_eaves(overhang, chimney.clearance), "e + c", "",
                _GEOMETRY,
            ),
        ]  # fmt: skip
    steps += [
        _length("Stands off the wall", standoff(survey, chimney), "", "s"),
        _length("Flue centre at the tee, from the wall", centre, "s + D / 2", "x", _GEOMETRY),
    ]
    if survey.eaves_way == OFFSET and flue_from_wall(survey, chimney) is not None:
        steps.append(_length("Flue centre above the offset, from the wall", flue_from_wall(survey, chimney)))
    steps += [
        _length("Thickness of the wall", survey.wall_thickness, "", "t"),
        _length("Chimney beyond the wall's inner face", chimney.thimble_projection, "", "p", sheet),
        _length("Tee's centre to the joint of its branch", chimney.tee_branch, "", "b", sheet),
        _length(
            "Level section has to add", centre + (survey.wall_thickness or 0.0)
            + (chimney.thimble_projection or 0.0) - (chimney.tee_branch or 0.0),
            "x + t + p - b", "", _GEOMETRY,
        ),
    ]  # fmt: skip
    if workings.wall_piece is not None:
        steps.append(
            _length(f"{workings.wall_piece.name} adds", workings.wall_piece.effective_length, "", "", sheet)
        )
    return tuple(steps)
