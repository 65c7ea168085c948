"""A chimney that passes the wall and stands outdoors: where it stands, its thimble and its brackets."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from calcs.checks import EQUAL_WITHIN
from calcs.offsets import ElbowOffset, elbow_pairs, smallest_offset
from calcs.roof import check_not_negative, check_positive
from calcs.survey import Chimney, ChimneySection, Survey

if TYPE_CHECKING:
    from calcs.workings import Workings

STRAIGHT, OFFSET, THROUGH = "straight", "offset", "through"


def standoff(survey: Survey, chimney: Chimney) -> float | None:
    """How far the chimney's outside stands off the wall at its support.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    float or None
        Level distance [m]; None where a figure it rests on is not known

    Notes
    -----
    The least that sheet and clearance allow; where the chimney goes straight past the eaves, so much that it
    keeps its clearance to their edge, as far as the support reaches.

    Examples
    --------
    >>> round(standoff(Survey(), Chimney(wall_standoff=0.08, clearance=0.05)), 3)
    0.08
    >>> straight = Survey(eaves_way="straight", eaves_overhang=0.1)
    >>> round(standoff(straight, Chimney(wall_standoff=0.08, wall_standoff_greatest=0.3, clearance=0.05)), 3)
    0.15
    """
    if chimney.wall_standoff is None or chimney.clearance is None:
        return None
    least = max(chimney.wall_standoff, chimney.clearance)
    if survey.eaves_way != STRAIGHT or survey.eaves_overhang is None:
        return least
    most = chimney.wall_standoff_greatest
    return max(
        least, min(past_eaves(survey.eaves_overhang, chimney.clearance), math.inf if most is None else most)
    )


def past_eaves(overhang: float, clearance: float) -> float:
    """How far off the wall a chimney clears the edge of the eaves.

    Parameters
    ----------
    overhang : float
        Eaves with their gutter, level from the wall's face [m]
    clearance : float
        Clearance of the chimney to combustible material [m]

    Returns
    -------
    float
        From the wall's face to the chimney's outside; nothing to clear where there is no overhang [m]

    Raises
    ------
    ValueError
        A length is negative.

    Examples
    --------
    >>> past_eaves(0.3, 0.05), past_eaves(0.0, 0.05)
    (0.35, 0.05)

    References
    ----------
    Plane geometry.
    """
    check_not_negative("overhang", overhang)
    check_not_negative("clearance", clearance)
    return overhang + clearance


def first_joint(survey: Survey, chimney: Chimney) -> float | None:
    """Upper joint of the tee, from which the sections are stacked.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    float or None
        Height above the floor [m]; None where a figure is not known

    Examples
    --------
    >>> round(first_joint(Survey(thimble_height=1.5), Chimney(tee_rise=0.25)), 3)
    1.75
    """
    if survey.thimble_height is None or chimney.tee_rise is None:
        return None
    return survey.thimble_height + chimney.tee_rise


def eaves_offset(survey: Survey, chimney: Chimney) -> ElbowOffset | None:
    """Smallest offset below the eaves that carries the chimney clear of their edge.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    ElbowOffset or None
        The offset [m]; None where none is wanted or known, or none serves below the eaves

    Notes
    -----
    The upper elbow ends below the underside of the eaves by the chimney's clearance.
    """
    start, stands = first_joint(survey, chimney), standoff(survey, chimney)
    if survey.eaves_way != OFFSET or start is None or stands is None:
        return None
    if survey.eaves_overhang is None or survey.soffit_height is None or chimney.clearance is None:
        return None
    least = max(0.0, past_eaves(survey.eaves_overhang, chimney.clearance) - stands)
    height = survey.soffit_height - chimney.clearance - start
    pairs = elbow_pairs(chimney)
    if least <= EQUAL_WITHIN or height <= 0 or not pairs:
        return None
    lengths = [one.effective_length for one in chimney.sections]
    return smallest_offset(least, math.inf, pairs, height=height, lengths=lengths)


def flue_from_wall(survey: Survey, chimney: Chimney) -> float | None:
    """Flue centre from the wall's outer face where it passes the eaves.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    float or None
        Level distance [m]; None where a figure is not known
    """
    stands, outer = standoff(survey, chimney), chimney.outer_diameter
    if stands is None or outer is None:
        return None
    offset = eaves_offset(survey, chimney)
    return stands + outer / 2 + (offset.run if offset is not None else 0.0)


def roof_at_flue(survey: Survey, chimney: Chimney, slope: float | None) -> float | None:
    """Height of the roof's surface, carried on level with its slope, where the flue's centre stands.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney
    slope : float or None
        Rise over run of the roof [-]

    Returns
    -------
    float or None
        Height above the floor [m]; None where a figure is not known

    Notes
    -----
    On an eaves wall the roof falls towards the flue, beyond its edge too; beside a gable it is as high as
    its edge there.

    Examples
    --------
    >>> wall = Survey(wall_side="eaves", roof_edge_height=3.0, eaves_overhang=0.3)
    >>> round(roof_at_flue(wall, Chimney(outer_diameter=0.25, clearance=0.05, wall_standoff=0.075), 0.5), 3)
    3.05
    """
    centre, edge = flue_from_wall(survey, chimney), survey.roof_edge_height
    if edge is None or slope is None or not survey.wall_side:
        return None
    if survey.wall_side == "gable" or slope == 0:
        return edge
    if centre is None or survey.eaves_overhang is None:
        return None
    return edge + (survey.eaves_overhang - centre) * slope


def wall_section(
    flue_centre: float,
    wall_thickness: float,
    projection: float,
    tee_branch: float,
    sections: tuple[ChimneySection, ...],
) -> ChimneySection | None:
    """Shortest section that reaches from the tee's branch through the wall into the room.

    Parameters
    ----------
    flue_centre : float
        From the wall's outer face to the chimney's centre at the tee [m]
    wall_thickness : float
        Whole thickness of the wall [m]
    projection : float
        Chimney beyond the wall's inner face, at least [m]
    tee_branch : float
        From the tee's centre to the joint of its branch [m]
    sections : tuple of ChimneySection
        Sections of the sheet

    Returns
    -------
    ChimneySection or None
        The section; None where none is long enough

    Raises
    ------
    ValueError
        A length is negative, or the centre is not outside the wall.

    Examples
    --------
    >>> stock = (ChimneySection("12 in", 12, 11), ChimneySection("18 in", 18, 17))
    >>> wall_section(8, 6, 3, 5, stock).name
    '18 in'

    References
    ----------
    Plane geometry.
    """
    check_positive("flue_centre", flue_centre)
    for name, value in (
        ("wall_thickness", wall_thickness),
        ("projection", projection),
        ("tee_branch", tee_branch),
    ):
        check_not_negative(name, value)
    needed = flue_centre + wall_thickness + projection - tee_branch
    enough = [one for one in sections if one.effective_length >= needed - EQUAL_WITHIN]
    return min(enough, key=lambda one: one.effective_length, default=None)


def level_piece(survey: Survey, chimney: Chimney) -> float | None:
    """Length of the chimney that lies level, from its end in the room to the tee's centre.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    float or None
        Length [m]; None where a figure is not known
    """
    stands, outer = standoff(survey, chimney), chimney.outer_diameter
    thick, inside = survey.wall_thickness, chimney.thimble_projection
    if stands is None or outer is None or thick is None or inside is None:
        return None
    return stands + outer / 2 + thick + inside


def bracket_heights(bottom: float, top: float, spacing: float) -> tuple[float, ...]:
    """Where wall brackets stand: evenly, no further apart than the sheet allows, the last at the top.

    Parameters
    ----------
    bottom : float
        Height of the support [m]
    top : float
        Height of the uppermost bracket, under the eaves [m]
    spacing : float
        Greatest distance between two [m]

    Returns
    -------
    tuple of float
        Heights from below, without the support [m]; none where the top is no higher than the support

    Raises
    ------
    ValueError
        `spacing` is not above zero.

    Examples
    --------
    >>> bracket_heights(1.0, 7.0, 2.4)
    (3.0, 5.0, 7.0)

    References
    ----------
    Plane geometry.
    """
    check_positive("spacing", spacing)
    if top <= bottom + EQUAL_WITHIN:
        return ()
    count = math.ceil((top - bottom) / spacing - EQUAL_WITHIN)
    return tuple(bottom + (top - bottom) * number / count for number in range(1, count + 1))


def thimble_rise(workings: Workings) -> float | None:
    """How much higher than the collar the thimble's centre has to be for the run to keep its slope.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Height [m]; None where the run is not known
    """
    run = workings.survey.connector_run
    if run is None:
        return None
    return run * (workings.rulebook.value("connector.slope") or 0.0)
