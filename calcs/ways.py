"""What the directions across the ceiling members are called."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.routes import THROUGH_WALL
from calcs.survey import Survey


@dataclass(frozen=True)
class Ways:
    """Words for towards and away from the wall the members are counted from, and for that wall.

    `near` and `far` are for an appliance that is moved, the others for a pipe that is carried over: out of a
    corner the one goes along the diagonal, the other square to the members.
    """

    near: str
    far: str
    wall: str
    pipe_near: str
    pipe_far: str


_FRONT_TO_BACK = Ways("to the left", "to the right", "wall on the left", "to the left", "to the right")
_SIDE_TO_SIDE = Ways("back", "forward", "wall behind", "back", "forward")
_IN_WALL = Ways("to the left", "to the right", "corner on the left", "to the left", "to the right")
_CORNER = Ways(
    "into the corner",
    "out of the corner",
    "corner wall the members run along",
    "towards the wall the members run along",
    "away from the wall the members run along",
)


def ways_of(survey: Survey) -> Ways:
    """Words for the directions in which the appliance moves across the members.

    Parameters
    ----------
    survey : Survey
        What was measured

    Returns
    -------
    Ways
        As somebody facing the appliance says it

    Examples
    --------
    >>> ways_of(Survey()).near, ways_of(Survey(placement="corner")).near
    ('to the left', 'into the corner')
    """
    if survey.route == THROUGH_WALL:
        return _IN_WALL
    if survey.placement == "corner":
        return _CORNER
    return _FRONT_TO_BACK if survey.member_direction == "front to back" else _SIDE_TO_SIDE
