"""A liner in an existing masonry chimney: whether it fits, what the masonry keeps, how long it is."""

from __future__ import annotations

import math

from calcs.roof import check_not_negative, check_positive
from calcs.survey import Chimney, Survey

FIREPLACE, THIMBLE = "fireplace", "thimble"


def liner_outside(outer_diameter: float, insulation: float) -> float:
    """Outside of a liner with its insulation.

    Parameters
    ----------
    outer_diameter : float
        Outside diameter of the bare liner [m]
    insulation : float
        Thickness of the insulation around it, 0 for none [m]

    Returns
    -------
    float
        Diameter [m]

    Raises
    ------
    ValueError
        The diameter is not above zero, or the thickness negative.

    Examples
    --------
    >>> liner_outside(6.5, 0.5)
    7.5

    References
    ----------
    Plane geometry.
    """
    check_positive("outer_diameter", outer_diameter)
    check_not_negative("insulation", insulation)
    return outer_diameter + 2 * insulation


def flue_area(shape: str, width: float, depth: float | None = None) -> float:
    """Clear area of an existing flue.

    Parameters
    ----------
    shape : str
        rectangular | round [-]
    width : float
        Inside width, or diameter of a round one [m]
    depth : float or None
        Inside depth of a rectangular one [m]

    Returns
    -------
    float
        Area of the section [m2]

    Raises
    ------
    ValueError
        The shape is neither, a side is not above zero, or the depth of a rectangular flue is missing.

    Examples
    --------
    >>> flue_area("rectangular", 0.2, 0.3), round(flue_area("round", 0.2), 4)
    (0.06, 0.0314)

    References
    ----------
    Plane geometry. A clay liner's rounded corners take off a little, IRC R1003.14.
    """
    check_positive("width", width)
    if shape == "round":
        return math.pi / 4 * width**2
    if shape != "rectangular" or depth is None:
        raise ValueError("shape: it has to be round, or rectangular with both sides")
    check_positive("depth", depth)
    return width * depth


def least_side(survey: Survey) -> float | None:
    """Least inside measure of the existing flue, at its narrowest place.

    Parameters
    ----------
    survey : Survey
        What was measured

    Returns
    -------
    float or None
        Diameter, or the lesser side [m]; None where it was not measured

    Examples
    --------
    >>> least_side(Survey(flue_shape="rectangular", flue_width=0.3, flue_depth=0.2))
    0.2
    """
    if survey.flue_width is None or not survey.flue_shape:
        return None
    if survey.flue_shape == "round":
        return survey.flue_width
    return None if survey.flue_depth is None else min(survey.flue_width, survey.flue_depth)


def room_around(side: float, outside: float) -> float:
    """Gap all round a liner on the axis of a flue.

    Parameters
    ----------
    side : float
        Diameter or lesser side of the flue [m]
    outside : float
        Outside of the liner with its insulation [m]

    Returns
    -------
    float
        Gap, negative where it does not go in [m]

    Raises
    ------
    ValueError
        A figure is not above zero.

    Examples
    --------
    >>> room_around(8.0, 7.5)
    0.25

    References
    ----------
    Plane geometry.
    """
    check_positive("side", side)
    check_positive("outside", outside)
    return (side - outside) / 2


def outside_of(chimney: Chimney) -> float | None:
    """Outside of the listed liner with its insulation.

    Parameters
    ----------
    chimney : Chimney
        Listing data of the liner

    Returns
    -------
    float or None
        Diameter [m]; None where a figure is not known
    """
    if chimney.outer_diameter is None or chimney.insulation_thickness is None:
        return None
    return liner_outside(chimney.outer_diameter, chimney.insulation_thickness)


def outlet_height(survey: Survey, chimney: Chimney) -> float | None:
    """Height of the liner's end above the floor.

    Parameters
    ----------
    survey : Survey
        What was measured
    chimney : Chimney
        Listing data of the liner

    Returns
    -------
    float or None
        Height [m]; None where a figure is not known

    Examples
    --------
    >>> round(outlet_height(Survey(flue_top_height=7.0), Chimney(liner_above_crown=0.1)), 3)
    7.1
    """
    if survey.flue_top_height is None or chimney.liner_above_crown is None:
        return None
    return survey.flue_top_height + chimney.liner_above_crown


def roof_beside(survey: Survey, slope: float | None) -> float | None:
    """Height of the roof's surface at the middle of the masonry.

    Parameters
    ----------
    survey : Survey
        What was measured
    slope : float or None
        Rise over run of the roof [-]

    Returns
    -------
    float or None
        Height above the floor [m]; None where a figure is not known

    Notes
    -----
    The masonry's height above the roof is measured on its uphill side, half its depth up the slope.
    """
    top, above, depth = survey.flue_top_height, survey.chimney_above_roof, survey.masonry_depth
    if top is None or above is None or slope is None or (depth is None and slope > 0):
        return None
    return top - above - (depth or 0.0) / 2 * slope
