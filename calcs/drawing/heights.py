"""Required and planned height in the elevation, with the radius it comes from."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.marks import along, upright
from calcs.drawing.scene import LEFT, RIGHT, Scene
from calcs.drawing.svg import Canvas, text_width

NEXT_TO_PIPE = 30.0
#: A sixteenth of an inch, the finest figure of a drawing.
_FINEST = 0.0254 / 16


def chain_at(scene: Scene) -> float:
    """Where the chain of sections stands beside the pipe [px]."""
    return scene.centre - scene.opening / 2 * scene.scale - 16


def chain_left(scene: Scene) -> float:
    """Left edge of the figures of the chain of sections [px]."""
    sections = scene.plan.sections
    if sections is None or not sections.pieces:
        return scene.centre - 40
    widest = max(text_width(scene.say.dimension(piece.length), inks.NOTE) for piece in sections.pieces)
    return chain_at(scene) - 7 - widest


def planned_words(scene: Scene) -> str | None:
    """How high the planned outlet stands above the roof, never shown as less than the height it meets."""
    plan = scene.plan
    if plan.outlet is None:
        return None
    above = plan.outlet - scene.high_side
    required = plan.termination.height_above_penetration if plan.termination else above
    if 0 <= above - required < _FINEST:
        return scene.say.dimension(required, "up")
    return scene.say.dimension(above, "down")


def draw_required_height(canvas: Canvas, scene: Scene) -> None:
    """Draw the line the outlet has to reach, and what it is measured from."""
    if scene.plan.termination is None:
        return
    y = scene.at(0, scene.required)[1]
    canvas.line(
        (scene.at(-scene.outer / 2, 0)[0] - 8, y),
        (RIGHT, y),
        stroke=inks.REQUIRED,
        stroke_width="1.8",
        stroke_dasharray="9 4",
    )
    _above_penetration(canvas, scene)
    _within_radius(canvas, scene)


def _above_penetration(canvas: Canvas, scene: Scene) -> None:
    termination = scene.plan.termination
    if termination is None:
        return
    base = scene.at(0, scene.high_side)[1]
    x = scene.centre + scene.opening / 2 * scene.scale + NEXT_TO_PIPE + 20
    canvas.line((scene.centre, base), (x + 8, base), stroke=inks.LINE, stroke_width="0.8")
    top = scene.at(0, scene.required)[1]
    upright(
        canvas,
        x,
        base,
        top,
        scene.say.dimension(termination.height_above_penetration, "up"),
        ink=inks.REQUIRED,
        side="right",
    )


def _within_radius(canvas: Canvas, scene: Scene) -> None:
    """The level distance to what is looked at within the radius, and the height over it."""
    plan = scene.plan
    over, radius = plan.limits.get("termination.above_radius"), plan.termination_radius
    if over is None or over.minimum is None or radius is None:
        return
    target = _highest(scene, radius)
    if target is None:
        return
    begin, distance, surface, words = target
    level = surface + over.minimum
    start, y = scene.at(-begin, level)
    end = max(LEFT + 12, scene.at(-distance, level)[0])
    figures = chain_left(scene)
    foot = scene.at(-distance, surface)[1]
    x = min(end, figures - 30)
    along(canvas, y, (start, end), words, ink=inks.REQUIRED, figure_to=figures - 8, past=x - 6)
    if x < end:
        canvas.line((end, foot), (x - 6, foot), stroke=inks.LINE, stroke_width="0.8")
        canvas.line((end, y), (x - 6, y), stroke=inks.REQUIRED, stroke_width="1")
    upright(canvas, x, foot, y, scene.say.dimension(over.minimum), ink=inks.REQUIRED, side="on")


def _highest(scene: Scene, radius: float) -> tuple[float, float, float, str] | None:
    """Highest part within the radius: where its distance begins, the distance, its height, its words."""
    say, half = scene.say, scene.outer / 2
    found: list[tuple[float, float, float, str]] = []
    if scene.slope > 0 and scene.ridge is not None:
        run = max(0.0, scene.ridge - half)
        if run > radius:
            reach = half + radius
            found.append((half, reach, scene.roof_at(-reach), f"{say.dimension(radius)} radius"))
        elif run > 0:
            top = "ridge" if scene.plan.survey.roof_shape == "gable" else "upper edge"
            found.append(
                (0.0, scene.ridge, scene.roof_at(-scene.ridge), f"{say.dimension(scene.ridge)} to the {top}")
            )
    for one in scene.plan.survey.obstacles:
        if one.distance - half <= radius:
            height = scene.roof + one.height
            found.append((0.0, one.distance, height, say.dimension(one.distance)))
    return max(found, key=lambda one: one[2], default=None)
