"""The house beside a chimney through the wall: floor, wall, eaves and roof, and what is installed."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.flue import draw_appliance
from calcs.drawing.scene import LEFT, RIGHT
from calcs.drawing.svg import Canvas, Point
from calcs.drawing.wall_scene import GROUND, TEE_DROP, WallScene

_WOOD = {"fill": inks.WOOD, "stroke": inks.WOOD_LINE, "stroke_width": "0.9"}
_STEEL = {"fill": inks.STEEL, "stroke": inks.INK, "stroke_width": "1.4"}
#: Thickness of header and sill, and of the roof where its eaves do not tell [m].
_HEADER, _ROOF = 0.038, 0.2


def draw_wall_house(canvas: Canvas, view: WallScene) -> None:
    """Draw floor, ground, wall, ceiling and roof with its eaves."""
    left, right = view.x(LEFT), view.x(RIGHT)
    floor, ground = view.at(left, 0), view.at(0, -GROUND)
    canvas.rect(floor[0], floor[1], view.at(-view.wall, 0)[0] - floor[0], 9, fill=inks.WOOD)
    canvas.line(floor, view.at(-view.wall, 0), stroke=inks.INK, stroke_width="1.8")
    canvas.line(ground, (RIGHT, ground[1]), stroke=inks.INK, stroke_width="1.8")
    for step in range(int((right * view.scale) // 14)):
        x = ground[0] + 6 + step * 14
        canvas.line((x, ground[1]), (x - 5, ground[1] + 7), stroke=inks.LINE, stroke_width="0.9")
    _roof(canvas, view, left)
    _band(canvas, view, (left, -view.wall), (view.ceiling, view.ceiling + 0.03), inks.PAPER)
    plate = min(view.soffit, view.roof_at(0) - 0.02)
    _band(canvas, view, (-view.wall, 0), (-GROUND, plate), inks.WOOD)
    x = view.at(left, 0)[0] + 18
    canvas.text(
        (x, view.at(0, view.ceiling * 0.62)[1]), "ROOM", inks.NOTE, fill=inks.SOFT, letter_spacing="2.2"
    )


def draw_installed(canvas: Canvas, view: WallScene) -> None:
    """Draw appliance, connector, thimble, tee, support, chimney, brackets and cap."""
    _thimble(canvas, view)
    _connector(canvas, view)
    draw_appliance(canvas, view.at, view.appliance, view.collar, view.ground)
    _support(canvas, view)
    _brackets(canvas, view)
    _chimney(canvas, view)
    _cap(canvas, view)


def _band(
    canvas: Canvas, view: WallScene, across: tuple[float, float], heights: tuple[float, float], fill: str
) -> None:
    left, top = view.at(across[0], heights[1])
    right, bottom = view.at(across[1], heights[0])
    canvas.rect(left, top, right - left, bottom - top, fill=fill, stroke=inks.WOOD_LINE, stroke_width="0.9")


def _roof(canvas: Canvas, view: WallScene, left: float) -> None:
    """Roof with its eaves; where the chimney passes through them they are cut."""
    thick = min(_ROOF, view.edge - view.soffit)
    bend = _ridge(view)
    stops = [view.overhang, *([bend] if bend is not None and left < bend else []), left]
    surface = [view.at(x, view.roof_at(x)) for x in stops]
    under = [view.at(x, view.roof_at(x) - thick) for x in reversed(stops)]
    canvas.polygon(surface + under, **_WOOD)
    corners = [(0.0, view.soffit), (view.overhang, view.soffit), (view.overhang, view.edge - thick),
               (0.0, max(view.soffit, view.roof_at(0) - thick))]  # fmt: skip
    canvas.polygon([view.at(*corner) for corner in corners], fill=inks.ATTIC, stroke=inks.WOOD_LINE,
                   stroke_width="0.9")  # fmt: skip
    canvas.polyline(surface, stroke=inks.INK, stroke_width="2.6", stroke_linejoin="round")
    if view.plan.survey.eaves_way == "through":
        half = view.opening / 2
        right = min(view.top + half, view.overhang + 0.02)
        gap = [(view.top - half, view.roof_at(view.top - half) + 0.02), (right, view.roof_at(right) + 0.02),
               (right, view.soffit - 0.01), (view.top - half, view.soffit - 0.01)]  # fmt: skip
        canvas.polygon([view.at(*corner) for corner in gap], fill=inks.PAPER, stroke=inks.WOOD_LINE,
                       stroke_width="1.2")  # fmt: skip


def _ridge(view: WallScene) -> float | None:
    ridge = view.plan.survey.ridge_distance
    return None if ridge is None or not view.slope else view.top - ridge


def _thimble(canvas: Canvas, view: WallScene) -> None:
    """Opening in the wall with header and sill, its plates, and the level piece to the tee."""
    half = view.opening / 2
    _band(canvas, view, (-view.wall, 0), (view.thimble - half, view.thimble + half), inks.PAPER)
    for low in (view.thimble + half, view.thimble - half - _HEADER):
        _band(canvas, view, (-view.wall, 0), (low, low + _HEADER), inks.PAPER)
        corners = [
            view.at(-view.wall, low),
            view.at(0, low + _HEADER),
            view.at(-view.wall, low + _HEADER),
            view.at(0, low),
        ]
        canvas.line(corners[0], corners[1], stroke=inks.WOOD_LINE, stroke_width="0.9")
        canvas.line(corners[2], corners[3], stroke=inks.WOOD_LINE, stroke_width="0.9")
    reach = half + 0.06
    for x in (-view.wall, 0.0):
        canvas.line(
            view.at(x, view.thimble - reach),
            view.at(x, view.thimble + reach),
            stroke=inks.INK,
            stroke_width="3.4",
        )
    left, top = view.at(-view.wall - view.projection, view.thimble + view.outer / 2)
    right, bottom = view.at(view.tee, view.thimble - view.outer / 2)
    canvas.rect(left, top, right - left, bottom - top, fill=inks.PAPER, stroke=inks.INK, stroke_width="1.8")


def _connector(canvas: Canvas, view: WallScene) -> None:
    wide = max(6.0, view.connector * view.scale)
    end = -view.wall - view.projection
    points = [
        view.at(view.appliance, view.collar),
        view.at(view.appliance, view.thimble - 0.02),
        view.at(end, view.thimble),
    ]
    canvas.polyline(points, stroke=inks.INK, stroke_width=wide, stroke_linejoin="round")
    canvas.polyline(points, stroke="#6c7780", stroke_width=wide - 2.6, stroke_linejoin="round")


def _support(canvas: Canvas, view: WallScene) -> None:
    """Support under the tee: a shelf with its strut down to the wall."""
    low = view.thimble - TEE_DROP + 0.03
    outer = view.tee + view.outer / 2 + 0.03
    corners = [view.at(0, low), view.at(outer, low), view.at(0, low - 0.34)]
    canvas.polygon(corners, fill="none", stroke=inks.INK, stroke_width="2.4", stroke_linejoin="round")


def _brackets(canvas: Canvas, view: WallScene) -> None:
    for z in view.plan.brackets:
        centre = view.flue_at(z)
        left, y = view.at(0, z)
        right = view.at(centre + view.outer / 2 + 0.02, z)[0]
        canvas.rect(left, y - 2.5, right - left, 5, fill=inks.INK)


def _chimney(canvas: Canvas, view: WallScene) -> None:
    """The tee and the chimney as a double line that follows an offset."""
    low, pair = view.thimble - TEE_DROP, view.offset
    spine: list[tuple[float, float]] = [(view.tee, low)]
    if pair is not None:
        spine += [(view.tee, pair[0]), (view.top, pair[1])]
    spine.append((view.flue_at(view.outlet), view.outlet))
    points: list[Point] = [view.at(*one) for one in spine]
    wide = view.outer * view.scale
    dash = None if view.plan.sections and view.plan.sections.pieces else "7 4"
    canvas.polyline(points, stroke=inks.INK, stroke_width=wide + 1.8, stroke_linejoin="round")
    canvas.polyline(points, stroke=inks.PAPER, stroke_width=max(2.0, wide - 1.8), stroke_linejoin="round")
    for side in (-view.inner / 2, view.inner / 2):
        line = [view.at(x + side, z) for x, z in spine]
        canvas.polyline(line, stroke=inks.LINE, stroke_width="1", stroke_dasharray=dash or "4 3")
    if view.plan.sections:
        for joint in (0.0, *view.plan.sections.joints):
            z = view.first_joint + joint
            x, y = view.at(view.flue_at(z) - view.outer / 2, z)
            canvas.rect(x - 1.5, y - 2, wide + 3, 4, fill=inks.INK)
    left, y = view.at(view.tee - view.outer / 2 - 0.01, low)
    canvas.rect(left, y - 3, wide + 0.02 * view.scale, 6, **_STEEL)
    brace = _brace(view)
    if brace is not None:
        canvas.line(
            view.at(view.flue_at(brace[0]), brace[0]), view.at(*brace[1]), stroke=inks.INK, stroke_width="2.4"
        )
        canvas.circle(view.at(*brace[1]), 3.2, fill=inks.INK)


def _brace(view: WallScene) -> tuple[float, tuple[float, float]] | None:
    """Height of the highest brace, and its foot on the roof; None without one."""
    sections, found = view.plan.sections, view.plan.termination
    if sections is None or not sections.braces or found is None or found.brace_threshold is None:
        return None
    height = max(view.edge + 0.3, view.outlet - found.brace_threshold)
    foot = view.overhang - 0.3 - (height - view.edge) * 0.3
    return height, (foot, view.roof_at(foot))


def _cap(canvas: Canvas, view: WallScene) -> None:
    half, z = view.outer / 2, view.outlet
    x = view.flue_at(z)
    for side in (-half * 0.8, half * 0.8):
        canvas.line(view.at(x + side, z), view.at(x + side, z + 0.12), stroke=inks.INK, stroke_width="1.8")
    canvas.polygon(
        [view.at(x - half - 0.05, z + 0.12), view.at(x + half + 0.05, z + 0.12), view.at(x, z + 0.22)],
        fill=inks.IRON, stroke=inks.INK, stroke_width="1.2", stroke_linejoin="round",
    )  # fmt: skip
