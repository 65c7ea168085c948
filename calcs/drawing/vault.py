"""A vaulted ceiling in the elevation: the slope with its rafters, the box that stands plumb in it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from calcs.drawing import inks
from calcs.drawing.house import MEMBER_THICKNESS, draw_floor, roof_stops
from calcs.drawing.marks import Label
from calcs.drawing.obstacles import draw_obstacles
from calcs.drawing.scene import LEFT, RIGHT, Scene
from calcs.drawing.svg import Canvas, Point

_NOT_KNOWN = "not known"
#: Air over the insulation is drawn so deep where nobody measured it [m].
_LIKELY_AIR = 0.025
_OVERHANG = 0.35
#: How far apart the strokes of the insulation stand [m].
_STROKES = 0.06


def draw_vault(canvas: Canvas, scene: Scene) -> None:
    """Draw everything the chimney passes under a vaulted ceiling, from the floor up."""
    left, right = _ends(scene)
    canvas.polygon(
        [scene.at(left, 0), scene.at(right, 0), *_line(scene, right, left, scene.roof - scene.ceiling)],
        fill=inks.PAPER,
    )
    draw_floor(canvas, scene)
    _slope(canvas, scene, right, _header_faces(scene)[0])
    _slope(canvas, scene, _header_faces(scene)[1], left)
    _headers(canvas, scene)
    draw_obstacles(canvas, scene)
    x = scene.at(left, 0)[0] + 28
    canvas.text((x, scene.at(0, scene.ceiling * 0.5)[1]), "ROOM", inks.NOTE, fill=inks.SOFT,
                letter_spacing="2.2")  # fmt: skip


def draw_box(canvas: Canvas, scene: Scene) -> None:
    """Draw the support box, trimmed along the roof, and its trim on the ceiling."""
    half = scene.opening / 2
    corners = [
        scene.at(-half, scene.first_joint), scene.at(half, scene.first_joint),
        scene.at(half, scene.roof_at(half)), scene.at(-half, scene.roof_at(-half)),
    ]  # fmt: skip
    dash = "5 4" if scene.plan.box_height is None else None
    canvas.polygon(
        corners, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.6", stroke_dasharray=dash,
        stroke_linejoin="round",
    )  # fmt: skip
    for inside, outside in ((-half, -half - 0.07), (half, half + 0.07)):
        canvas.line(
            scene.at(inside, scene.ceiling_at(inside) - 0.01),
            scene.at(outside, scene.ceiling_at(outside) - 0.01),
            stroke=inks.INK,
            stroke_width="4",
        )


def vault_labels(scene: Scene) -> list[Label]:
    """Labels of box, framing and rafter space."""
    plan, say = scene.plan, scene.say
    half = scene.opening / 2
    tall, below = plan.box_height, plan.chimney.box_projection
    words = (
        _NOT_KNOWN
        if tall is None or below is None
        else f"at least {say.least(tall)} tall, {say.least(below)} below the ceiling's low side"
    )
    space = plan.survey.vent_space
    air = {"unvented": "not vented", "vented": f"{say.most(space)} of air" if space is not None else ""}
    told = air.get(plan.survey.rafter_vented) or f"air {_NOT_KNOWN}"
    along = plan.limits.get("framing.opening_along")
    opening = f"opening {_NOT_KNOWN}"
    if plan.opening is not None and along is not None and along.minimum is not None:
        opening = f"{say.least(plan.opening)} across, {say.least(along.minimum)} up the slope"
    x = half + 0.45
    middle = (scene.roof - scene.framing_bottom) / 2
    header = _downhill_header(scene)
    return [
        Label(scene.at(x, scene.roof_at(x) - middle), "Rafter space", told),
        Label(_middle(scene, header), "Headers between the rafters", opening),
        Label(scene.at(half * 0.8, scene.first_joint + 0.05), "Support box", words),
    ]


def _ends(scene: Scene) -> tuple[float, float]:
    shed = scene.plan.survey.roof_shape == "shed"
    left = max(scene.x(LEFT), scene.upper_end - (0.0 if shed else _OVERHANG))
    return left, min(scene.x(RIGHT), scene.eave)


def _line(scene: Scene, start: float, end: float, below: float) -> list[Point]:
    """Points of a line that follows the roof so far below its surface, measured plumb."""
    return [scene.at(x, scene.roof_at(x) - below) for x in roof_stops(scene, start, end)]


def _slope(canvas: Canvas, scene: Scene, start: float, end: float) -> None:
    """Deck, rafter, insulation and ceiling of one stretch, from its downhill to its uphill end."""
    if start - end < 0.02:
        return
    deck, framing = scene.roof - scene.deck_underside, scene.roof - scene.framing_bottom
    ceiling = scene.roof - scene.ceiling
    deck = max(deck, 4.0 / scene.scale)
    wood = {"stroke": inks.WOOD_LINE, "stroke_width": "0.9", "stroke_linejoin": "round"}

    def band(top: float, bottom: float, fill: str) -> None:
        points = _line(scene, start, end, top) + _line(scene, end, start, bottom)
        canvas.polygon(points, fill=fill, **wood)

    band(deck, framing, inks.ATTIC)
    vented = scene.plan.survey.rafter_vented != "unvented"
    air = (scene.plan.survey.vent_space or _LIKELY_AIR) if vented else 0.0
    top = min(deck + air * math.hypot(1, scene.slope), framing)
    band(top, framing, "#f6ead9")
    _strokes(canvas, scene, (start, end), (top, framing))
    band(framing, max(ceiling, framing + 3.0 / scene.scale), inks.PAPER)
    band(0.0, deck, inks.WOOD)
    canvas.polyline(_line(scene, start, end, 0.0), stroke=inks.INK, stroke_width="2.6",
                    stroke_linejoin="round")  # fmt: skip


def _strokes(canvas: Canvas, scene: Scene, ends: tuple[float, float], band: tuple[float, float]) -> None:
    """Insulation between the rafters, as a zigzag from face to face."""
    start, end = ends
    count = max(2, round((start - end) / _STROKES))
    points = [
        scene.at(x, scene.roof_at(x) - band[index % 2])
        for index in range(count + 1)
        for x in [start + (end - start) * index / count]
    ]
    canvas.polyline(points, stroke=inks.BATT, stroke_width="0.9", stroke_linejoin="round")


def _along(scene: Scene, along: float, down: float) -> tuple[float, float]:
    """Point so far down the slope from the plumb point on the deck's underside, and so far into the roof."""
    steep = math.hypot(1, scene.slope)
    cosine, sine = 1 / steep, scene.slope / steep
    return along * cosine - down * sine, scene.deck_underside - along * sine - down * cosine


def _depth(scene: Scene) -> float:
    """Depth of the rafters as they are drawn, square to the slope [m]."""
    return (scene.framing_top - scene.framing_bottom) / math.hypot(1, scene.slope)


def _header(scene: Scene, face: float, away: float) -> list[tuple[float, float]]:
    depth = _depth(scene)
    return [
        _along(scene, face, 0), _along(scene, face + away, 0),
        _along(scene, face + away, depth), _along(scene, face, depth),
    ]  # fmt: skip


def _downhill_header(scene: Scene) -> list[tuple[float, float]]:
    face = scene.opening / 2 * math.hypot(1, scene.slope) + _depth(scene) * scene.slope
    return _header(scene, face, MEMBER_THICKNESS)


def _uphill_header(scene: Scene) -> list[tuple[float, float]]:
    return _header(scene, -scene.opening / 2 * math.hypot(1, scene.slope), -MEMBER_THICKNESS)


def _header_faces(scene: Scene) -> tuple[float, float]:
    """Where the slope goes on below and above the opening [m]."""
    return max(x for x, _ in _downhill_header(scene)), min(x for x, _ in _uphill_header(scene))


def _headers(canvas: Canvas, scene: Scene) -> None:
    for corners in (_downhill_header(scene), _uphill_header(scene)):
        points = [scene.at(*corner) for corner in corners]
        canvas.polygon(points, fill=inks.PAPER, stroke=inks.WOOD_LINE, stroke_width="1.2")
        for one, other in ((0, 2), (1, 3)):
            canvas.line(points[one], points[other], stroke=inks.WOOD_LINE, stroke_width="0.9")


def _middle(scene: Scene, corners: Sequence[tuple[float, float]]) -> Point:
    return scene.at(sum(x for x, _ in corners) / len(corners), sum(z for _, z in corners) / len(corners))
