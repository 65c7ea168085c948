"""Required and planned height in the elevation, with the radius it comes from."""

from __future__ import annotations

import math

from calcs.drawing import inks
from calcs.drawing.marks import along, upright
from calcs.drawing.scene import LEFT, RIGHT, Scene
from calcs.drawing.svg import Canvas, text_width
from calcs.outlet_rules import Demand

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
    words = scene.say.dimension(termination.height_above_penetration, "up")
    side = "right" if x + 8 + text_width(words, inks.DETAIL) < RIGHT + 20 else "on"
    upright(canvas, x, base, top, words, ink=inks.REQUIRED, side=side)


def _within_radius(canvas: Canvas, scene: Scene) -> None:
    """The level distance to what asks for most beside the chimney, and the height over it."""
    demand = _beside(scene)
    if demand is None or demand.place is None or demand.top is None or demand.over is None:
        return
    distance = math.hypot(*demand.place)
    surface = scene.high_side + demand.top
    level = surface + demand.over
    edge = demand.name == "roof surface"
    start, y = scene.at(-scene.outer / 2 if edge else 0.0, level)
    end = max(LEFT + 12, scene.at(-distance, level)[0])
    figures = chain_left(scene)
    foot = scene.at(-distance, surface)[1]
    x = min(end, figures - 30)
    words = _distance_words(scene, demand, distance)
    along(canvas, y, (start, end), words, ink=inks.REQUIRED, figure_to=figures - 8, past=x - 6, begin=LEFT)
    if x < end:
        canvas.line((end, foot), (x - 6, foot), stroke=inks.LINE, stroke_width="0.8")
        canvas.line((end, y), (x - 6, y), stroke=inks.REQUIRED, stroke_width="1")
    if demand.over > 0:
        upright(canvas, x, foot, y, scene.say.dimension(demand.over), ink=inks.REQUIRED, side="on")


def _beside(scene: Scene) -> Demand | None:
    """The demand that asks for most over something beside the chimney."""
    termination = scene.plan.termination
    demands = termination.demands if termination else ()
    beside = [one for one in demands if one.place is not None and math.hypot(*one.place) > scene.outer / 2]
    return max(beside, key=lambda one: one.height, default=None)


def _distance_words(scene: Scene, demand: Demand, distance: float) -> str:
    """How far away it is, or the radius at whose edge the roof is highest."""
    say = scene.say
    if demand.name == "roof surface":
        reach = distance - scene.outer / 2
        radius = scene.plan.termination_radius
        return f"{say.dimension(reach)} {'level' if radius is None else 'radius'}"
    if demand.name in ("ridge", "upper edge"):
        return f"{say.dimension(distance)} to the {demand.name}"
    return say.dimension(distance)
