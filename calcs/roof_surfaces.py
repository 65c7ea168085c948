"""The roof seen from above: planes over polygons, and the highest of them within a radius of the flue."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from calcs.checks import EQUAL_WITHIN
from calcs.roof import check_not_negative, check_pitch
from calcs.survey import Obstacle, Survey

SHAPES = ("gable", "shed", "hip", "flat")
#: Roofs whose end nobody measured run on this far, beyond the reach of any rule [m].
FAR = 100.0
#: Half the width and the depth an obstacle is given in plan; only its distance was measured [m].
OBSTACLE_HALF, OBSTACLE_DEPTH = 0.6, 1.2

Point = tuple[float, float]


@dataclass(frozen=True)
class HighPoint:
    """A highest point [m]: its place in plan, its height, and the surface it lies on."""

    x: float
    y: float
    height: float
    name: str
    kind: str

    @property
    def distance(self) -> float:
        """Level, from the flue centre [m]."""
        return math.hypot(self.x, self.y)


@dataclass(frozen=True)
class Face:
    """A plane over a convex polygon in plan [m].

    The flue centre is the origin, x runs along the ridge and y uphill. `height` is the plane's over the
    origin, above the point where the flue's centre passes the roof; `gradient` its rise over x and over y.
    `corners` go round anticlockwise.
    """

    name: str
    kind: str
    corners: tuple[Point, ...]
    height: float
    gradient: Point = (0.0, 0.0)

    def height_at(self, x: float, y: float) -> float:
        """Height of the plane over a place [m]."""
        return self.height + self.gradient[0] * x + self.gradient[1] * y

    def contains(self, x: float, y: float) -> bool:
        """Whether a place lies in the polygon or on its edge."""
        for (ax, ay), (bx, by) in pairwise((*self.corners, self.corners[0])):
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) < -EQUAL_WITHIN * math.hypot(bx - ax, by - ay):
                return False
        return True

    def highest_within(self, radius: float) -> HighPoint | None:
        """Highest point no further from the flue centre than a radius; None where the face is out of reach.

        A plane over the part of a polygon in a circle is highest at a corner inside the circle, where an edge
        meets the circle, or at the circle's own uppermost point; a level one is taken at its nearest point.
        """
        best: Point | None = None
        for x, y in self._candidates(radius):
            if best is None or self._above((x, y), best):
                best = (x, y)
        return None if best is None else HighPoint(*best, self.height_at(*best), self.name, self.kind)

    def _above(self, one: Point, other: Point) -> bool:
        """Whether a place is higher, or as high and nearer."""
        rise = self.height_at(*one) - self.height_at(*other)
        if abs(rise) > EQUAL_WITHIN:
            return rise > 0
        return math.hypot(*one) < math.hypot(*other) - EQUAL_WITHIN

    def _candidates(self, radius: float) -> Iterable[Point]:
        steep = math.hypot(*self.gradient)
        top = (radius * self.gradient[0] / steep, radius * self.gradient[1] / steep) if steep else (0.0, 0.0)
        if self.contains(*top):
            yield top
        for start, end in pairwise((*self.corners, self.corners[0])):
            yield from _on_edge(start, end, radius)


def _on_edge(start: Point, end: Point, radius: float) -> Iterable[Point]:
    """Ends of the part of an edge that lies in the circle, and the edge's point nearest to its centre."""
    length = math.dist(start, end)
    if length <= EQUAL_WITHIN:
        if math.hypot(*start) <= radius + EQUAL_WITHIN:
            yield start
        return
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    foot = -(start[0] * dx + start[1] * dy)
    aside = abs(start[0] * dy - start[1] * dx)
    if aside > radius + EQUAL_WITHIN:
        return
    reach = math.sqrt(max(0.0, radius * radius - aside * aside))
    low, high = max(0.0, foot - reach), min(length, foot + reach)
    if low > high + EQUAL_WITHIN:
        return
    for along in (low, high, min(max(foot, low), high)):
        yield start[0] + along * dx, start[1] + along * dy


@dataclass(frozen=True)
class RoofSurfaces:
    """A roof and what stands on and beside it; the flue centre is the origin, y runs uphill [m]."""

    shape: str
    #: Rise over run of every slope.
    slope: float
    roof: tuple[Face, ...]
    obstacles: tuple[Face, ...] = ()
    #: Ends of the ridge, or of a shed's upper edge; None on a flat roof.
    ridge: tuple[Point, Point] | None = None

    @property
    def faces(self) -> tuple[Face, ...]:
        """Every surface, the roof's first."""
        return (*self.roof, *self.obstacles)

    @property
    def ridge_height(self) -> float:
        """Height of the ridge or upper edge above the flue's passage, 0 for a flat roof [m]."""
        return 0.0 if self.ridge is None else self.slope * self.ridge[0][1]

    @property
    def ridge_distance(self) -> float:
        """Level, from the flue centre to the nearest point of the ridge; without end on a flat roof [m]."""
        if self.ridge is None:
            return math.inf
        (ax, ay), (bx, _) = self.ridge
        return math.hypot(min(max(0.0, min(ax, bx)), max(ax, bx)), ay)

    def highest_roof(self, radius: float) -> HighPoint:
        """Highest point of the roof itself within a radius of the flue centre; it always lies in reach."""
        found = _highest(self.roof, radius)
        return found or HighPoint(0.0, 0.0, 0.0, "roof", "roof")

    def highest_within(self, radius: float) -> HighPoint:
        """Highest point of the roof and of what stands on or beside it, within a radius."""
        return _highest(self.faces, radius) or self.highest_roof(radius)


def _highest(faces: Sequence[Face], radius: float) -> HighPoint | None:
    best: HighPoint | None = None
    for face in faces:
        found = face.highest_within(radius)
        if found is not None and (best is None or found.height > best.height + EQUAL_WITHIN):
            best = found
    return best


def roof_surfaces(
    shape: str,
    pitch_degrees: float,
    *,
    ridge_distance: float | None = None,
    eaves_distance: float | None = None,
    hip_distance: float | None = None,
    obstacles: Sequence[Obstacle] = (),
) -> RoofSurfaces:
    """Planes of a roof around a flue.

    Parameters
    ----------
    shape : str
        gable | shed | hip | flat [-]
    pitch_degrees : float
        Angle of the roof to the horizontal; a flat roof is taken as level [degrees]
    ridge_distance : float | None
        Level, from the flue centre to the line of the ridge or the upper edge; needed unless flat [m]
    eaves_distance : float | None
        Level, from the flue centre down the slope to the eaves [m]
    hip_distance : float | None
        Level, from the flue centre to the eaves of the hipped end [m]
    obstacles : Sequence[Obstacle]
        Parts of this or another building, by the distance of their nearest part and their top [m]

    Returns
    -------
    RoofSurfaces
        The faces, the ridge and the obstacles [m]

    Raises
    ------
    ValueError
        The shape is not known, a distance is missing or impossible, or the flue stands on the hipped end.

    Notes
    -----
    All slopes of a gable or hip have the same pitch and their eaves the same height. What was not measured
    runs on: lower parts of a roof never govern, and a hipped end only takes away from a gable, so that a
    hip roof without `eaves_distance` and `hip_distance` is reckoned as a gable, which never asks for less.
    An obstacle is level at its top and counts as soon as its nearest part is in reach.

    Examples
    --------
    A 6/12 gable with the ridge 3 m away; within 2 m the slope itself is highest:

    >>> roof = roof_surfaces("gable", 26.565051177, ridge_distance=3.0)
    >>> round(roof.highest_within(2.0).height, 6), round(roof.highest_within(5.0).height, 6)
    (1.0, 1.5)

    References
    ----------
    Plane geometry.
    """
    if shape not in SHAPES:
        raise ValueError(f"shape must be one of {', '.join(SHAPES)}, not {shape!r}")
    check_pitch(pitch_degrees)
    for name, value in (("eaves_distance", eaves_distance), ("hip_distance", hip_distance)):
        if value is not None:
            check_not_negative(name, value)
    stands = obstacle_faces(obstacles)
    eaves = FAR if eaves_distance is None else min(eaves_distance, FAR)
    if shape == "flat":
        level = Face("roof", "roof", _rectangle(-FAR, -FAR, FAR, FAR), 0.0)
        return RoofSurfaces(shape, 0.0, (level,), stands)
    if ridge_distance is None:
        raise ValueError("ridge_distance is not known; measure level from the flue centre to the ridge")
    check_not_negative("ridge_distance", ridge_distance)
    slope = math.tan(math.radians(pitch_degrees))
    if shape == "hip" and eaves_distance is not None and hip_distance is not None:
        return _hip(slope, ridge_distance, eaves_distance, hip_distance, stands)
    near = Face("slope", "roof", _rectangle(-FAR, -eaves, FAR, ridge_distance), 0.0, (0.0, slope))
    ridge = ((-FAR, ridge_distance), (FAR, ridge_distance))
    if shape == "shed":
        return RoofSurfaces(shape, slope, (near,), stands, ridge)
    beyond = 2 * ridge_distance + eaves
    far = Face(
        "far slope", "roof", _rectangle(-FAR, ridge_distance, FAR, beyond),
        2 * ridge_distance * slope, (0.0, -slope),
    )  # fmt: skip
    return RoofSurfaces(shape, slope, (near, far), stands, ridge)


def surfaces_of(survey: Survey, pitch_degrees: float) -> RoofSurfaces:
    """Planes of a surveyed roof.

    Parameters
    ----------
    survey : Survey
        What was measured [m]
    pitch_degrees : float
        Angle of the roof to the horizontal [degrees]

    Returns
    -------
    RoofSurfaces
        The faces, the ridge and the obstacles [m]

    Examples
    --------
    >>> [face.name for face in surfaces_of(Survey(ridge_distance=2.0), 30.0).faces]
    ['slope', 'far slope']
    """
    return roof_surfaces(
        survey.roof_shape,
        pitch_degrees,
        ridge_distance=survey.ridge_distance,
        eaves_distance=survey.eaves_distance,
        hip_distance=survey.hip_distance,
        obstacles=survey.obstacles,
    )


def _rectangle(left: float, low: float, right: float, high: float) -> tuple[Point, ...]:
    return ((left, low), (right, low), (right, high), (left, high))


def _hip(slope: float, ridge: float, eaves: float, hip: float, obstacles: tuple[Face, ...]) -> RoofSurfaces:
    """Two slopes and a hipped end on the right, all of the same pitch over level eaves."""
    if hip < eaves - EQUAL_WITHIN:
        raise ValueError(
            "hip_distance is less than eaves_distance, so the flue stands on the hipped end: take the eaves "
            "of that end for eaves_distance, and those of the longer side for hip_distance"
        )
    far_eaves = 2 * ridge + eaves
    end = hip - eaves - ridge
    near = ((-FAR, -eaves), (hip, -eaves), (end, ridge), (-FAR, ridge))
    far = ((-FAR, ridge), (end, ridge), (hip, far_eaves), (-FAR, far_eaves))
    hipped = ((hip, -eaves), (hip, far_eaves), (end, ridge))
    faces = (
        Face("slope", "roof", near, 0.0, (0.0, slope)),
        Face("far slope", "roof", far, 2 * ridge * slope, (0.0, -slope)),
        Face("hipped end", "roof", hipped, (hip - eaves) * slope, (-slope, 0.0)),
    )
    return RoofSurfaces("hip", slope, faces, obstacles, ((-FAR, ridge), (end, ridge)))


def obstacle_faces(obstacles: Sequence[Obstacle]) -> tuple[Face, ...]:
    """Level tops of what stands on or beside a roof.

    Parameters
    ----------
    obstacles : Sequence[Obstacle]
        By the distance of their nearest part and the height of their top [m]

    Returns
    -------
    tuple[Face, ...]
        One face each, drawn uphill of the flue as its direction was not measured [m]

    Raises
    ------
    ValueError
        A distance is negative or a figure is not a number; the sentence names the obstacle.

    Examples
    --------
    >>> (face,) = obstacle_faces([Obstacle("dormer", 2.0, 1.5)])
    >>> face.highest_within(1.9), face.highest_within(2.0).height
    (None, 1.5)
    """
    return tuple(_obstacle(one) for one in obstacles)


def _obstacle(one: Obstacle) -> Face:
    name = one.name or "an obstacle"
    check_not_negative(f"distance of {name}", one.distance)
    if not math.isfinite(one.height):
        raise ValueError(f"height of {name} must be a number, not {one.height!r}")
    corners = _rectangle(-OBSTACLE_HALF, one.distance, OBSTACLE_HALF, one.distance + OBSTACLE_DEPTH)
    return Face(one.name, one.kind, corners, one.height)
