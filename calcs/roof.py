"""Roof geometry: pitch, slope length and the hole a plumb pipe needs through a sloped deck."""

from __future__ import annotations

import math
from dataclasses import dataclass

#: A roof steeper than this is a wall; the framing square's tables end well below it.
STEEPEST = 80.0


@dataclass(frozen=True)
class RoofOpening:
    """Hole for a plumb pipe, in m: across the slope, and along it for each way of cutting."""

    across: float
    along_plumb_cut: float
    along_square_cut: float


@dataclass(frozen=True)
class RoofPassage:
    """Clear way for a plumb pipe through deck and rafters, along the slope in m.

    Every distance counts from the plumb point on the deck's underside. The edges of the deck are cut square
    to it; headers stand plumb, or square to the rafters.
    """

    deck_down: float
    deck_up: float
    #: Faces of headers that stand plumb, either way alike.
    plumb_headers: float
    #: Faces of headers that stand square to the rafters and are as deep as these.
    square_header_down: float
    square_header_up: float

    @property
    def between_plumb_headers(self) -> float:
        """Clear length between headers that stand plumb [m]."""
        return 2 * self.plumb_headers

    @property
    def between_square_headers(self) -> float:
        """Clear length between headers that stand square to the rafters [m]."""
        return self.square_header_down + self.square_header_up


def pitch_angle(rise: float, run: float = 12.0) -> float:
    """Angle of a roof to the horizontal.

    Parameters
    ----------
    rise : float
        Vertical rise over `run`, same unit as `run` [-]
    run : float
        Horizontal run [-]

    Returns
    -------
    float
        Angle [degrees]

    Raises
    ------
    ValueError
        `rise` is negative or `run` is not above zero.

    Examples
    --------
    >>> round(pitch_angle(6), 3)
    26.565
    >>> round(pitch_angle(12), 6)
    45.0

    References
    ----------
    Framing square: the tangent of the angle is rise over run.
    """
    _rise_and_run(rise, run)
    return math.degrees(math.atan2(rise, run))


def slope_factor(rise: float, run: float = 12.0) -> float:
    """Length along the slope per unit of horizontal run.

    Parameters
    ----------
    rise : float
        Vertical rise over `run`, same unit as `run` [-]
    run : float
        Horizontal run [-]

    Returns
    -------
    float
        Slope factor, 1 for a flat roof [-]

    Raises
    ------
    ValueError
        `rise` is negative or `run` is not above zero.

    Examples
    --------
    >>> round(slope_factor(6), 4)
    1.118

    References
    ----------
    Framing square, rafter table, length of common rafters per foot of run: 13.42 in at 6/12.
    """
    _rise_and_run(rise, run)
    return math.hypot(rise, run) / run


def roof_opening(
    outer_diameter: float, clearance: float, pitch_degrees: float, deck_thickness: float = 0.0
) -> RoofOpening:
    """Least hole in a sloped deck around a plumb pipe.

    Parameters
    ----------
    outer_diameter : float
        Outside diameter of the pipe [m]
    clearance : float
        Clearance to combustible material all round, measured level [m]
    pitch_degrees : float
        Angle of the roof to the horizontal [degrees]
    deck_thickness : float
        Thickness of the deck, square to its face [m]

    Returns
    -------
    RoofOpening
        Across the slope; along the slope when the edges are cut plumb; along the slope when they are cut
        square to the deck [m]

    Raises
    ------
    ValueError
        A length is negative, the diameter is not above zero, or the pitch is outside 0 to 80 degrees.

    Notes
    -----
    A square-cut edge leans towards the pipe by the deck's thickness times the tangent of the pitch, so that
    hole is longer by as much. Thickness 0 gives the same length for both.

    Examples
    --------
    A 10 in pipe with 2 in clearance through a 12/12 roof of 1/2 in deck:

    >>> hole = roof_opening(0.254, 0.0508, 45.0, 0.0127)
    >>> round(hole.across / 0.0254, 3), round(hole.along_plumb_cut / 0.0254, 3)
    (14.0, 19.799)
    >>> round(hole.along_square_cut / 0.0254, 3)
    20.299

    References
    ----------
    Section of a vertical cylinder by an inclined plane: an ellipse with its long axis divided by the cosine.
    """
    check_positive("outer_diameter", outer_diameter)
    check_not_negative("clearance", clearance)
    check_not_negative("deck_thickness", deck_thickness)
    check_pitch(pitch_degrees)
    across = outer_diameter + 2 * clearance
    angle = math.radians(pitch_degrees)
    along = across / math.cos(angle)
    return RoofOpening(across, along, along + deck_thickness * math.tan(angle))


def roof_passage(
    outer_diameter: float,
    clearance: float,
    pitch_degrees: float,
    deck_thickness: float = 0.0,
    rafter_depth: float = 0.0,
) -> RoofPassage:
    """Where deck edges and headers stay clear of a plumb pipe, measured along the slope.

    Parameters
    ----------
    outer_diameter : float
        Outside diameter of the pipe [m]
    clearance : float
        Clearance to combustible material all round, measured level [m]
    pitch_degrees : float
        Angle of the roof to the horizontal [degrees]
    deck_thickness : float
        Thickness of the deck, square to its face [m]
    rafter_depth : float
        Depth of the rafters and of the headers between them, square to the slope [m]

    Returns
    -------
    RoofPassage
        Distances from the plumb point on the deck's underside [m]

    Raises
    ------
    ValueError
        A length is negative, the diameter is not above zero, or the pitch is outside 0 to 80 degrees.

    Notes
    -----
    Going up square to the slope a plumb pipe moves uphill by the tangent of the pitch. An edge square to
    the deck is therefore set by the deck's underside on the downhill side and by its upper face uphill; a
    square header by its lower edge downhill and by its upper edge uphill.

    Examples
    --------
    A 10 in pipe with 2 in clearance, 12/12, 1/2 in of deck on rafters 5 1/2 in deep:

    >>> way = roof_passage(0.254, 0.0508, 45.0, 0.0127, 0.1397)
    >>> [round(one / 0.0254, 2) for one in (way.deck_down, way.deck_up, way.square_header_down)]
    [9.9, 10.4, 15.4]
    >>> round(way.between_square_headers / 0.0254, 2)
    25.3

    References
    ----------
    Plane geometry.
    """
    check_not_negative("rafter_depth", rafter_depth)
    hole = roof_opening(outer_diameter, clearance, pitch_degrees, deck_thickness)
    lean = math.tan(math.radians(pitch_degrees))
    half = hole.along_plumb_cut / 2
    return RoofPassage(
        deck_down=half,
        deck_up=half + deck_thickness * lean,
        plumb_headers=half,
        square_header_down=half + rafter_depth * lean,
        square_header_up=half,
    )


def check_positive(name: str, value: float) -> None:
    """Refuse a figure that is not a number above zero.

    Parameters
    ----------
    name : str
        Name of the input, for the sentence [-]
    value : float
        The figure [any]

    Raises
    ------
    ValueError
        The figure is not finite or not above zero.
    """
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name} must be a number above zero, not {value!r}")


def check_not_negative(name: str, value: float) -> None:
    """Refuse a figure that is not a number of zero or more.

    Parameters
    ----------
    name : str
        Name of the input, for the sentence [-]
    value : float
        The figure [any]

    Raises
    ------
    ValueError
        The figure is not finite or is below zero.
    """
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{name} must be a number of zero or more, not {value!r}")


def check_pitch(pitch_degrees: float) -> None:
    """Refuse a pitch that is no roof.

    Parameters
    ----------
    pitch_degrees : float
        Angle of the roof to the horizontal [degrees]

    Raises
    ------
    ValueError
        The pitch is not finite or outside 0 to 80 degrees.
    """
    if not (math.isfinite(pitch_degrees) and 0 <= pitch_degrees <= STEEPEST):
        raise ValueError(f"pitch_degrees must be from 0 to {STEEPEST:g}, not {pitch_degrees!r}")


def _rise_and_run(rise: float, run: float) -> None:
    check_not_negative("rise", rise)
    check_positive("run", run)
