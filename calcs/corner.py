"""An appliance across a corner, at 45 degrees to both walls."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.roof import check_not_negative, check_positive

#: A length along the diagonal for each of its two shares square to the walls.
DIAGONAL = math.sqrt(2)

#: (From the wall on the left of the corner, from the wall on its right), facing the corner [m].
CornerPoint = tuple[float, float]


@dataclass(frozen=True)
class CornerFlue:
    """Flue centre of an appliance across a corner, facing the corner [m]."""

    from_left: float
    from_right: float


def corner_flue(
    clearance: float, width: float, back_to_flue_centre: float, side_to_flue_centre: float | None = None
) -> CornerFlue:
    """Where the flue centre stands when both rear corners are so far from their walls.

    Parameters
    ----------
    clearance : float
        From either rear corner to its wall, square to the wall [m]
    width : float
        Width of the appliance [m]
    back_to_flue_centre : float
        From the appliance's back to the flue centre [m]
    side_to_flue_centre : float | None
        From the appliance's left side to the flue centre, facing it; None takes the middle [m]

    Returns
    -------
    CornerFlue
        Distances from the two walls [m]

    Raises
    ------
    ValueError
        A figure is negative, the width is not above zero, or the flue stands beside the appliance.

    Notes
    -----
    c + (side + back) / sqrt 2 from the wall on the left, c + (width - side + back) / sqrt 2 from the wall
    on the right.

    Examples
    --------
    A heater 24 in wide, its flue 6 in from the back, 10 in off both walls:

    >>> inch = 0.0254
    >>> found = corner_flue(10 * inch, 24 * inch, 6 * inch)
    >>> round(found.from_left / inch, 3), round(found.from_right / inch, 3)
    (22.728, 22.728)

    References
    ----------
    Plane geometry; checked against shapely in tests/published.
    """
    check_not_negative("clearance", clearance)
    check_positive("width", width)
    check_not_negative("back_to_flue_centre", back_to_flue_centre)
    side = width / 2 if side_to_flue_centre is None else side_to_flue_centre
    check_not_negative("side_to_flue_centre", side)
    if side > width:
        raise ValueError("side_to_flue_centre must not be more than width, or the flue stands beside it")
    return CornerFlue(
        clearance + (side + back_to_flue_centre) / DIAGONAL,
        clearance + (width - side + back_to_flue_centre) / DIAGONAL,
    )


def corner_outline(clearance: float, width: float, depth: float) -> tuple[CornerPoint, ...]:
    """Outline of the appliance when both rear corners are so far from their walls.

    Parameters
    ----------
    clearance : float
        From either rear corner to its wall, square to the wall [m]
    width : float
        Width of the appliance [m]
    depth : float
        Depth of the appliance [m]

    Returns
    -------
    tuple of CornerPoint
        Rear left, rear right, front right and front left corner, each from the wall on the left and from
        the wall on the right [m]

    Raises
    ------
    ValueError
        The clearance is negative, or width or depth is not above zero.

    Examples
    --------
    >>> [(round(x, 3), round(y, 3)) for x, y in corner_outline(0.2, 0.6, 0.5)]
    [(0.2, 0.624), (0.624, 0.2), (0.978, 0.554), (0.554, 0.978)]

    References
    ----------
    Plane geometry; checked against shapely in tests/published.
    """
    check_not_negative("clearance", clearance)
    check_positive("width", width)
    check_positive("depth", depth)
    far, out = clearance + width / DIAGONAL, depth / DIAGONAL
    return (
        (clearance, far),
        (far, clearance),
        (far + out, clearance + out),
        (clearance + out, far + out),
    )


def diagonal_move(square_move: float) -> float:
    """Move along the diagonal that changes the distance from both walls by so much.

    Parameters
    ----------
    square_move : float
        Change of the distance from either wall, positive out of the corner [m]

    Returns
    -------
    float
        Move along the diagonal, positive out of the corner [m]

    Examples
    --------
    >>> round(diagonal_move(0.1), 4)
    0.1414

    References
    ----------
    Plane geometry.
    """
    return square_move * DIAGONAL
