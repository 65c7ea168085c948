"""What the ceiling plan shows, and where it lies on the paper."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from calcs.bays import Bays
from calcs.checks import EQUAL_WITHIN
from calcs.corner import corner_outline
from calcs.drawing.svg import Canvas, Point
from calcs.framing import LUMBER, Position
from calcs.plan import Plan
from calcs.wording import Wording

#: The square that is drawn to scale [px].
LEFT, TOP, SIDE = 146.0, 76.0, 390.0
LARGEST_SCALE = 460.0
#: How far the drawing reaches past what it shows, and how far off a second place is still drawn [m].
BEYOND, FURTHEST = 0.12, 1.3
#: Members drawn on either side of the opening at most.
_MEMBERS = 12

_LIKELY_SPACING, _LIKELY_THICKNESS, _LIKELY_OPENING = 0.6096, 0.0381, 0.3556

#: (Across the members from the wall they are counted from, along them from the planned flue centre) [m].
HousePoint = tuple[float, float]


@dataclass(frozen=True)
class CeilingScene:
    """Distances across the members from the wall they are counted from, and along them [m]."""

    plan: Plan
    say: Wording
    #: The bay the opening is drawn in, its clear width, and the members' spacing and thickness.
    near_face: float
    clear: float
    spacing: float
    thickness: float
    opening: float
    #: Flue centre as measured, where the plan puts it, and the second place the appliance may move to.
    measured: float
    planned: float
    other: Position | None
    scale: float = 1.0
    middle: HousePoint = (0.0, 0.0)

    @property
    def upright(self) -> bool:
        """Whether the members stand upright on the paper."""
        return self.plan.survey.member_direction == "front to back"

    @property
    def corner(self) -> bool:
        """Whether the appliance stands across a corner."""
        return self.plan.survey.placement == "corner"

    @property
    def too_wide(self) -> bool:
        """Whether the box fits in no bay."""
        return self.plan.bay_clear is not None and self.opening > self.clear + EQUAL_WITHIN

    @property
    def by_elbows(self) -> bool:
        """Whether only elbows land the box where it is drawn."""
        return _elbow_centre(self.plan) is not None

    @property
    def stock(self) -> float:
        """Thickness of the lumber the opening is framed with [m]."""
        return LUMBER.get(self.plan.survey.framing_stock, (self.thickness, 0.0))[0]

    @property
    def half_shown(self) -> float:
        """Half of what the square shows [m]."""
        return SIDE / 2 / self.scale

    def along(self, centre: float) -> float:
        """Where a flue centre lies along the members: out of a corner both distances grow alike."""
        return centre - self.planned if self.corner and not self.by_elbows else 0.0

    def at(self, across: float, along_members: float) -> Point:
        """Place on paper."""
        first = (across - self.middle[0]) * self.scale
        second = (along_members - self.middle[1]) * self.scale
        centre = (LEFT + SIDE / 2, TOP + SIDE / 2)
        if self.upright:
            return centre[0] + first, centre[1] + second
        return centre[0] + second, centre[1] + first

    def box(self, canvas: Canvas, one: HousePoint, other: HousePoint, **look: str | float | None) -> None:
        """Draw a rectangle between two corners given in the house."""
        (a, b), (c, d) = self.at(*one), self.at(*other)
        canvas.rect(min(a, c), min(b, d), abs(c - a), abs(d - b), **look)

    def members(self) -> Iterator[tuple[float, float]]:
        """Near and far face of every member that lies within the square."""
        low, high = self.middle[0] - self.half_shown, self.middle[0] + self.half_shown
        first = self.plan.survey.wall_to_first_member
        least = low if first is None else max(low, first)
        for number in range(-_MEMBERS, _MEMBERS + 1):
            start = self.near_face - self.thickness + number * self.spacing
            if least - EQUAL_WITHIN <= start and start + self.thickness <= high + EQUAL_WITHIN:
                yield start, start + self.thickness

    def outline(self) -> tuple[HousePoint, ...]:
        """Appliance below, as it stands where the plan puts it; nothing while its measures are not known."""
        appliance = self.plan.appliance
        width, depth, back = appliance.width, appliance.depth, appliance.back_to_flue_centre
        if not width or not depth or back is None:
            return ()
        side = appliance.side_to_flue_centre
        side = width / 2 if side is None or side > width else side
        rear_left, rear_right, front_right, front_left = corner_outline(0.0, width, depth)
        across_corner = [rear_left, rear_right, front_right, front_left]
        if self.corner:
            flue = ((side + back) / math.sqrt(2), (width - side + back) / math.sqrt(2))
            corners = [(x - flue[0], y - flue[1]) for x, y in across_corner]
        else:
            corners = [
                (-side, -back),
                (width - side, -back),
                (width - side, depth - back),
                (-side, depth - back),
            ]
        stands = self.measured if self.by_elbows else self.planned
        return tuple(
            (stands + x, self.along(stands) + y) if self.upright else (stands + y, self.along(stands) + x)
            for x, y in corners
        )

    def walls(self) -> tuple[float, float | None]:
        """Wall the members are counted from, and in a corner the other wall along them [m]."""
        if not self.corner or not (outline := self.outline()):
            return 0.0, None
        stands = self.measured if self.by_elbows else self.planned
        moved = stands - self.measured
        clear = self.plan.survey.corner_wall
        if clear is None:
            return 0.0, None
        return 0.0, min(along for _, along in outline) - clear - moved


def ceiling_scene(plan: Plan, say: Wording) -> CeilingScene:
    """Lay out the ceiling plan.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units to write in

    Returns
    -------
    CeilingScene
        The scene, scaled so that everything it shows lies in its square
    """
    survey = plan.survey
    thickness = survey.member_thickness or _LIKELY_THICKNESS
    clear = plan.bay_clear or (_LIKELY_SPACING - thickness)
    spacing = survey.member_spacing or _LIKELY_SPACING
    measured, planned, near_face = clear / 2, clear / 2, 0.0
    centre = plan.wall_to_centre if plan.wall_to_centre is not None else survey.wall_to_flue_centre
    best, other = _places(plan)
    target = _elbow_centre(plan)
    if centre is not None and (plan.plumb_offset is not None or best is not None or target is not None):
        measured = centre
        planned = target if target is not None else centre if best is None else best.centre
        near_face = _near_face(plan, centre, planned, best)
    scene = CeilingScene(
        plan,
        say,
        near_face,
        clear,
        spacing,
        thickness,
        plan.opening or _LIKELY_OPENING,
        measured,
        planned,
        other,
    )
    return _scaled(scene)


def _places(plan: Plan) -> tuple[Position | None, Position | None]:
    """Where the plan puts the flue, and the other way it may go."""
    if plan.nearest is None or plan.nearest.best is None:
        return None, None
    ways = [plan.nearest.towards_wall, plan.nearest.away_from_wall]
    best = plan.nearest.best
    other = next((one for one in ways if one is not None and one != best), None)
    return best, other if other is not None and abs(other.centre - best.centre) <= FURTHEST else None


def _elbow_centre(plan: Plan) -> float | None:
    """Where elbows carry the flue through the ceiling, when no move does."""
    if plan.elbows is None or plan.nearest is None or plan.nearest.best is not None:
        return None
    return plan.elbows.centre


def _near_face(plan: Plan, centre: float, planned: float, best: Position | None) -> float:
    """Near face of the bay the opening is drawn in."""
    survey = plan.survey
    clear, first = plan.bay_clear or 0.0, survey.wall_to_first_member or 0.0
    spacing, thickness = survey.member_spacing or _LIKELY_SPACING, survey.member_thickness or 0.0
    bays = Bays(first, spacing, thickness, plan.opening or 0.0, plan.members_cut)
    place = best or bays.down_from(planned, planned, planned)
    if place is not None and (best is not None or planned != centre):
        return bays.faces(place.bay)[0]
    return centre - (plan.plumb_offset or 0.0) - clear / 2


def _shown(scene: CeilingScene) -> list[HousePoint]:
    half = scene.opening / 2
    end = half + max(scene.stock, 0.1)
    far = scene.near_face + scene.clear
    points = [
        (min(scene.near_face - 1.5 * scene.thickness, scene.planned - half), -end),
        (max(far + 1.5 * scene.thickness, scene.planned + half), end),
        (scene.measured, scene.along(scene.measured)),
        *scene.outline(),
    ]
    if scene.other is not None:
        along, centre = scene.along(scene.other.centre), scene.other.centre
        beyond = half + scene.thickness
        points.append((centre - beyond - scene.other.gap_near, along - half))
        points.append((centre + beyond + scene.other.gap_far, along + half))
    across, along_wall = scene.walls()
    if scene.corner and along_wall is not None:
        points.append((across, along_wall))
    return points


def _scaled(scene: CeilingScene) -> CeilingScene:
    points = _shown(scene)
    lows = [min(point[axis] for point in points) - BEYOND for axis in (0, 1)]
    highs = [max(point[axis] for point in points) + BEYOND for axis in (0, 1)]
    reach = max(high - low for low, high in zip(lows, highs, strict=True))
    across, along = ((low + high) / 2 for low, high in zip(lows, highs, strict=True))
    return replace(scene, scale=min(LARGEST_SCALE, SIDE / reach), middle=(across, along))
