"""What stands on and beside the roof, in the elevation."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.scene import LEFT, Scene
from calcs.drawing.svg import Canvas, Point, shortened, text_width
from calcs.survey import Obstacle

#: How far each kind reaches away from the flue [m].
_DEEP = {"building": 0.4, "dormer": 1.0, "parapet": 0.22, "neighbour": 1.3, "opening": 0.45}
_NAME_LETTERS, _LINE = 18, 15.0


def draw_obstacles(canvas: Canvas, scene: Scene) -> None:
    """Draw each at its distance uphill, the furthest first; their direction was not measured."""
    shown = [one for one in scene.plan.survey.obstacles if _left_edge(scene, one) > LEFT + 2]
    # Outlines over all the fills: what stands behind another is still seen.
    for fill in (inks.PAPER, "none"):
        for one in sorted(shown, key=lambda other: -other.distance):
            _body(canvas, scene, one, fill)
    taken: list[tuple[float, float, float]] = []
    for one in sorted(shown, key=lambda other: -other.height):
        _name(canvas, scene, one, taken)


def _left_edge(scene: Scene, one: Obstacle) -> float:
    return scene.at(-one.distance - 0.12, 0)[0]


def _foot(scene: Scene, one: Obstacle, x: float) -> float:
    """Where it is seen to begin: over the roof, or on the ground beyond the house [m]."""
    if x < scene.upper_end:
        return 0.0
    return min(scene.roof_at(x), scene.roof + one.height)


def _ends(scene: Scene, one: Obstacle) -> tuple[float, float]:
    """Its near and far end, no further than what is drawn [m]."""
    far = max(-one.distance - _DEEP[one.kind], scene.x(LEFT))
    return -one.distance, far


def _body(canvas: Canvas, scene: Scene, one: Obstacle, fill: str) -> None:
    near, far = _ends(scene, one)
    top = scene.roof + one.height
    low_near, low_far = _foot(scene, one, near), _foot(scene, one, far)
    if one.kind == "opening":
        _opening(canvas, scene, one, fill)
        return
    outline = [scene.at(near, low_near), scene.at(near, top), scene.at(far, top), scene.at(far, low_far)]
    if one.kind == "dormer":
        shoulder = max(top - 0.35, (top + max(low_near, low_far)) / 2)
        middle = (near + far) / 2
        outline[1:3] = [scene.at(near, shoulder), scene.at(middle, top), scene.at(far, shoulder)]
    canvas.polygon(outline, fill=fill, stroke=inks.SOFT, stroke_width="1.2", stroke_linejoin="round")


def _opening(canvas: Canvas, scene: Scene, one: Obstacle, fill: str) -> None:
    """A window or rooflight: a frame with a cross, its top where it was measured."""
    near, far = _ends(scene, one)
    top = scene.roof + one.height
    (right, upper), (left, lower) = scene.at(near, top), scene.at(far, top - 0.45)
    canvas.rect(
        left, upper, right - left, lower - upper, fill=inks.PAPER, stroke=inks.INK, stroke_width="1.4"
    )
    middle = (left + right) / 2, (upper + lower) / 2
    canvas.line((middle[0], upper), (middle[0], lower), stroke=inks.SOFT, stroke_width="1")
    canvas.line((left, middle[1]), (right, middle[1]), stroke=inks.SOFT, stroke_width="1")


def _name(canvas: Canvas, scene: Scene, one: Obstacle, taken: list[tuple[float, float, float]]) -> None:
    """Its name under its top, lower where another stands there already."""
    words = shortened(one.name, _NAME_LETTERS)
    half = text_width(words, inks.NOTE) / 2 + 3
    near, far = _ends(scene, one)
    x = max(scene.at((near + far) / 2, 0)[0], LEFT + half + 2)
    y = scene.at(0, scene.roof + one.height)[1] + 12
    while any(
        abs(y - other) < _LINE and left < x + half and x - half < right for left, right, other in taken
    ):
        y += 2
    taken.append((x - half, x + half, y))
    place: Point = (x, y)
    canvas.boxed_text(place, words, inks.NOTE, fill=inks.SOFT)
