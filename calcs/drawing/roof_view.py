"""The roof seen from above: what is shown, at which scale, and its place on paper."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from calcs.drawing.svg import Point
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.roof_surfaces import HighPoint, RoofSurfaces, surfaces_of
from calcs.survey import Obstacle
from calcs.wording import Wording

WIDTH = 820.0
#: The square that is drawn to scale.
LEFT, TOP, SIDE = 16.0, 64.0, 500.0
#: Shown around the circle, and at most of what stands further away [m; share of the circle].
MARGIN, FURTHEST = 0.4, 1.55
_LIKELY_REACH, _LIKELY_OUTER, _LIKELY_OPENING = 3.0, 0.25, 0.36
#: Directions in which obstacles are drawn, in degrees from the ridge's right: none of them was measured. What
#: can only stand on the roof is drawn uphill, the rest beside the house.
_ON_THE_ROOF = (56.0, 80.0, 32.0)
_BESIDE_IT = (4.0, -46.0, -78.0)


@dataclass(frozen=True)
class Stand:
    """Something on or beside the roof, with the direction it is drawn in and whether it is in reach."""

    obstacle: Obstacle
    #: Unit vector from the flue centre.
    way: Point
    counts: bool

    def outline(self, half: float, near: float, far: float) -> list[Point]:
        """Corners of a rectangle across the direction, from a distance to another [m]."""
        x, y = self.way
        return [
            (x * at - y * side, y * at + x * side)
            for at, side in ((near, -half), (near, half), (far, half), (far, -half))
        ]


@dataclass(frozen=True)
class RoofView:
    """Distances from the flue centre, along the ridge and uphill [m]."""

    plan: Plan
    say: Wording
    surfaces: RoofSurfaces | None
    rise: float | None
    outer: float
    opening: float
    #: Radius of the circle around the flue centre; None where the rule book's reach is not known.
    circle: float | None
    stands: tuple[Stand, ...]
    #: Half of the stretch of roof that is shown.
    shown: float

    @property
    def scale(self) -> float:
        """Paper for a metre [px/m]."""
        return SIDE / 2 / self.shown

    def at(self, x: float, y: float) -> Point:
        """Place on paper of a place on the roof."""
        return LEFT + SIDE / 2 + x * self.scale, TOP + SIDE / 2 - y * self.scale

    def clipped(self, corners: Sequence[Point]) -> list[Point]:
        """The part of a convex polygon that is shown, on paper."""
        kept = list(corners)
        for axis, sign in ((0, 1), (0, -1), (1, 1), (1, -1)):
            kept = _cut(kept, axis, sign, self.shown)
        return [self.at(*corner) for corner in kept]

    @property
    def high_point(self) -> HighPoint | None:
        """Highest point within reach, obstacles at the place they are drawn."""
        if self.surfaces is None or self.circle is None:
            return None
        found = self.surfaces.highest_within(self.circle)
        for stand in self.stands:
            one = stand.obstacle
            if stand.counts and one.name == found.name and one.height == found.height:
                x, y = stand.way
                return replace(found, x=x * one.distance, y=y * one.distance)
        return found


def _cut(corners: Sequence[Point], axis: int, sign: int, edge: float) -> list[Point]:
    """A convex polygon without what lies beyond a line along one axis."""
    kept: list[Point] = []
    for index, corner in enumerate(corners):
        before = corners[index - 1]
        inside, was_inside = sign * corner[axis] <= edge, sign * before[axis] <= edge
        if inside != was_inside:
            share = (sign * edge - before[axis]) / (corner[axis] - before[axis])
            kept.append(
                (
                    before[0] + share * (corner[0] - before[0]),
                    before[1] + share * (corner[1] - before[1]),
                )
            )
        if inside:
            kept.append(corner)
    return kept


def roof_view(plan: Plan, say: Wording) -> RoofView:
    """Fit the roof on the paper.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units of the drawing

    Returns
    -------
    RoofView
        What is shown, and the scale
    """
    survey = plan.survey
    levels = levels_of(survey, plan.appliance, plan.chimney)
    surfaces = None
    if levels.pitch_degrees is not None and (
        survey.roof_shape == "flat" or survey.ridge_distance is not None
    ):
        surfaces = surfaces_of(survey, levels.pitch_degrees)
    outer = plan.chimney.outer_diameter or _LIKELY_OUTER
    reach = plan.termination.reach if plan.termination else None
    reach = plan.termination_radius if reach is None else reach
    circle = None if reach is None else reach + outer / 2
    least = _LIKELY_REACH if circle is None else circle
    stands = tuple(_stands(survey.obstacles, circle))
    further = [stand.obstacle.distance + 0.5 for stand in stands]
    further += [one + 0.2 for one in (survey.ridge_distance, survey.eaves_distance) if one is not None]
    within = [one for one in further if one <= least * FURTHEST]
    return RoofView(
        plan=plan,
        say=say,
        surfaces=surfaces,
        rise=levels.rise,
        outer=outer,
        opening=plan.opening or _LIKELY_OPENING,
        circle=circle,
        stands=stands,
        shown=max([least + MARGIN, *within]),
    )


def _stands(obstacles: Sequence[Obstacle], circle: float | None) -> Iterable[Stand]:
    counted: dict[tuple[float, ...], int] = {}
    for one in obstacles:
        directions = _ON_THE_ROOF if one.kind in ("dormer", "opening") else _BESIDE_IT
        index = counted[directions] = counted.get(directions, -1) + 1
        degrees = directions[index % len(directions)] + 7.0 * (index // len(directions))
        angle = math.radians(degrees)
        counts = circle is not None and one.distance <= circle + 1e-9
        yield Stand(one, (math.cos(angle), math.sin(angle)), counts)
