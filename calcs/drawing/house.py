"""The house in the elevation: floor, ceiling, insulation, roof and what stands on it."""

from __future__ import annotations

import math

from calcs.drawing import inks
from calcs.drawing.obstacles import draw_obstacles
from calcs.drawing.scene import LEFT, RIGHT, Scene
from calcs.drawing.svg import Canvas, Point

#: Members are drawn this thick where their thickness is not known [m].
MEMBER_THICKNESS = 0.038
WALL = 0.11
OVERHANG = 0.35
#: A wall nearer to the flue than this would hide the appliance and is left out.
NEAREST_WALL = 0.75


def draw_house(canvas: Canvas, scene: Scene) -> None:
    """Draw everything the chimney passes, from the floor up."""
    _attic_air(canvas, scene)
    draw_floor(canvas, scene)
    _ceiling(canvas, scene)
    _insulation(canvas, scene)
    _roof(canvas, scene)
    draw_obstacles(canvas, scene)
    _captions(canvas, scene)


def _edges(scene: Scene) -> tuple[float, float]:
    """Left and right end of the ceiling that is drawn, at most to the house's own ends [m]."""
    return max(scene.x(LEFT), scene.upper_end), min(scene.x(RIGHT), scene.eave)


def _attic_air(canvas: Canvas, scene: Scene) -> None:
    left, right = _edges(scene)
    outline = [scene.at(left, scene.framing_bottom), scene.at(right, scene.framing_bottom)]
    outline += [scene.at(x, scene.roof_at(x)) for x in roof_stops(scene, right, left)]
    canvas.polygon(outline, fill=inks.ATTIC)


def roof_stops(scene: Scene, start: float, end: float) -> list[float]:
    """Distances at which the roof's outline bends, from one end to the other.

    Parameters
    ----------
    scene : Scene
        The scene
    start : float
        One end [m]
    end : float
        The other [m]

    Returns
    -------
    list of float
        Both ends and every bend between them [m]
    """
    low, high = min(start, end), max(start, end)
    return sorted({start, end, *(x for x in scene.bends if low < x < high)}, reverse=start > end)


def draw_floor(canvas: Canvas, scene: Scene) -> None:
    """Draw the floor, and the outside walls or where the drawing is cut off."""
    y = scene.ground
    canvas.rect(LEFT, y, RIGHT - LEFT, 9, fill=inks.WOOD)
    canvas.line((LEFT, y), (RIGHT, y), stroke=inks.INK, stroke_width="1.8")
    left, right = _edges(scene)
    if left > scene.x(LEFT) and left <= -NEAREST_WALL:
        _wall(canvas, scene, left)
    else:
        _break(canvas, (LEFT, y - 10), (LEFT, y + 18))
    if right < scene.x(RIGHT) and right >= NEAREST_WALL:
        _wall(canvas, scene, right - WALL)
    else:
        _break(canvas, (RIGHT, y - 10), (RIGHT, y + 18))


def _wall(canvas: Canvas, scene: Scene, x: float) -> None:
    """Outside wall under an eave or a shed's upper edge; it reaches the roof where the roof is higher."""
    shed = scene.plan.survey.roof_shape == "shed" and x < 0
    top_at = scene.roof_at(x) if shed else scene.ceiling
    left, top = scene.at(x, top_at)
    canvas.rect(left, top, WALL * scene.scale, scene.ground - top, fill=inks.WOOD, stroke=inks.WOOD_LINE)


def _break(canvas: Canvas, start: Point, end: Point) -> None:
    """Mark where the drawing is cut off."""
    x, middle = start[0], (start[1] + end[1]) / 2
    canvas.polyline(
        [start, (x, middle - 4), (x - 4, middle - 1.5), (x + 4, middle + 1.5), (x, middle + 4), end],
        stroke=inks.SOFT,
        stroke_width="0.9",
    )


def _ceiling(canvas: Canvas, scene: Scene) -> None:
    left, right = _edges(scene)
    half = scene.opening / 2
    thick = scene.plan.survey.member_thickness or MEMBER_THICKNESS
    for start, end in ((left, -half), (half, right)):
        if end <= start:
            continue
        canvas.polygon(
            _under_roof(scene, start, end), fill=inks.WOOD, stroke=inks.WOOD_LINE, stroke_width="0.9"
        )
        x, y = scene.at(start, scene.framing_bottom)
        board = max(3.0, (scene.framing_bottom - scene.ceiling) * scene.scale)
        canvas.rect(
            x, y, (end - start) * scene.scale, board, fill=inks.PAPER, stroke=inks.INK, stroke_width="0.9"
        )
        cut = -half - thick if end == -half else half
        if start <= cut and cut + thick <= end + 1e-9:
            _end_grain(canvas, scene, cut, thick)


def _under_roof(scene: Scene, start: float, end: float) -> list[Point]:
    """Outline of the framing between two distances, its corners cut where the roof comes down to it."""
    low, high = scene.framing_bottom, scene.framing_top
    near, far = end, start
    if scene.slope > 0:
        reach = (scene.deck_underside - high) / scene.slope
        near = min(end, max(start, reach))
        if scene.ridge is not None and scene.two_sided:
            far = max(start, min(end, -(2 * scene.ridge + reach)))
    return [scene.at(start, low), scene.at(end, low), scene.at(near, high), scene.at(far, high)]


def _end_grain(canvas: Canvas, scene: Scene, x: float, thick: float) -> None:
    """A framing piece cut through, beside the opening."""
    left, top = scene.at(x, scene.framing_top)
    right, bottom = scene.at(x + thick, scene.framing_bottom)
    canvas.rect(
        left, top, right - left, bottom - top, fill=inks.PAPER, stroke=inks.WOOD_LINE, stroke_width="1.2"
    )
    canvas.path(
        f"M{left:.1f} {top:.1f}L{right:.1f} {bottom:.1f}M{right:.1f} {top:.1f}L{left:.1f} {bottom:.1f}",
        stroke=inks.WOOD_LINE,
        stroke_width="0.9",
        fill="none",
    )


def guard_half(scene: Scene) -> float:
    """Half of the width that shield or enclosure keep free of insulation [m]."""
    panel = scene.plan.enclosure[0].thickness if scene.plan.enclosure else 0.0
    return scene.opening / 2 + panel


def _insulation(canvas: Canvas, scene: Scene) -> None:
    if scene.insulation_top is None or scene.insulation_top <= scene.framing_bottom:
        return
    left, right = _edges(scene)
    if scene.slope > 0:
        reach = (scene.deck_underside - scene.insulation_top) / scene.slope
        right = min(right, reach)
        if scene.ridge is not None and scene.two_sided:
            left = max(left, -(2 * scene.ridge + reach))
    half = guard_half(scene)
    for start, end in ((left, -half), (half, right)):
        if end - start > 0.04:
            _batt(canvas, scene, start, end)


def _batt(canvas: Canvas, scene: Scene, start: float, end: float) -> None:
    """Insulation the way drawings show it: loops from face to face."""
    top = scene.insulation_top or scene.framing_bottom
    low_x, low = scene.at(
        start, scene.framing_top if top > scene.framing_top + 0.04 else scene.framing_bottom
    )
    high_x, high = scene.at(end, top)
    canvas.rect(low_x, high, high_x - low_x, low - high, fill="#f6ead9")
    loops = max(2, 2 * round((high_x - low_x) / 16))
    step = (high_x - low_x) / loops
    commands = f"M{low_x:.1f} {low:.1f}"
    up = True
    for index in range(loops):
        x = low_x + index * step
        near, far = (low, high) if up else (high, low)
        commands += (
            f"C{x + step * 0.9:.1f} {near:.1f} {x + step * 0.1:.1f} {far:.1f} {x + step:.1f} {far:.1f}"
        )
        up = not up
    canvas.path(commands, fill="none", stroke=inks.BATT, stroke_width="0.9")
    canvas.line((low_x, high), (high_x, high), stroke=inks.BATT, stroke_width="0.9")


def _roof(canvas: Canvas, scene: Scene) -> None:
    shed = scene.plan.survey.roof_shape == "shed"
    left = max(scene.x(LEFT), scene.upper_end - (0.0 if shed else OVERHANG))
    right = min(scene.x(RIGHT), scene.eave + OVERHANG)
    half = scene.opening / 2
    for start, end in ((right, half), (-half, left)):
        if start - end > 0.02:
            _deck(canvas, scene, start, end)


def _deck(canvas: Canvas, scene: Scene, start: float, end: float) -> None:
    stops = roof_stops(scene, start, end)
    rafter = scene.plan.survey.rafter_depth or 0.0
    steep = math.hypot(1, scene.slope)
    drops = [max(4.0 / scene.scale, scene.roof - scene.deck_underside)]
    if rafter:
        drops.insert(0, drops[0] + rafter * steep)
    for drop in drops:
        surface = [scene.at(x, scene.roof_at(x)) for x in stops]
        under = [(x, y + drop * scene.scale) for x, y in reversed(surface)]
        fill = inks.WOOD if drop == drops[-1] else inks.PAPER
        canvas.polygon(
            surface + under, fill=fill, stroke=inks.WOOD_LINE, stroke_width="0.9", stroke_linejoin="round"
        )
    canvas.polyline(
        [scene.at(x, scene.roof_at(x)) for x in stops],
        stroke=inks.INK,
        stroke_width="2.6",
        stroke_linejoin="round",
    )


def _captions(canvas: Canvas, scene: Scene) -> None:
    words = {"fill": inks.SOFT, "letter_spacing": "2.2"}
    left = scene.at(_edges(scene)[0], 0)[0] + (28 if _edges(scene)[0] > scene.x(LEFT) else 14)
    room = scene.at(0, scene.ceiling * 0.62)[1]
    canvas.text((left, room), "ROOM", inks.NOTE, **words)
    middle = (left + scene.centre) / 2 - 40
    floor = max(scene.framing_top, scene.insulation_top or 0.0)
    free = scene.roof_at(scene.x(middle)) - floor
    if free * scene.scale > 60:
        canvas.text((left, scene.at(0, floor)[1] - 14), "ATTIC", inks.NOTE, **words)
