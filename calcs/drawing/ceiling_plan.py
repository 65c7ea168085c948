"""The ceiling seen from above: members, opening, headers and the plumb point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from calcs.checks import EQUAL_WITHIN
from calcs.drawing import inks
from calcs.drawing.ceiling_labels import ceiling_labels, ceiling_words
from calcs.drawing.ceiling_scene import LEFT, SIDE, TOP, CeilingScene, ceiling_scene
from calcs.drawing.marks import chain, labels, level_chain
from calcs.drawing.svg import Canvas, Point
from calcs.plan import Plan
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL
from calcs.wording import Wording

WIDTH, HEIGHT = 820.0, 560.0
_ROSE: Point = (66.0, 512.0)


def ceiling_plan_svg(plan: Plan, system: str | None = None, *, prefix: str = "ceiling") -> str:
    """Draw the framing around the opening, seen from the attic, or from the room where it is in the wall.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    system : str, optional
        imperial | metric; None takes the plan's own
    prefix : str
        Begins every id, so that several drawings may stand on one page

    Returns
    -------
    str
        An SVG document, 820 px wide, with title and description; "" where nothing is framed

    Raises
    ------
    ValueError
        If `system` is not known.

    Notes
    -----
    The wall behind the appliance is at the top, its left side on the left, as in the room; a corner it
    stands across is at the top left. Where the box does not fit, the opening is drawn at the nearest
    position that does, or where elbows carry the flue when there is none; a second position is dashed.

    Examples
    --------
    >>> from calcs.plan import make_plan
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> "not known" in ceiling_plan_svg(plan)
    True
    """
    if plan.survey.route == LINED_CHIMNEY:
        return ""
    scene = ceiling_scene(plan, Wording(system or plan.system))
    canvas = Canvas(prefix)
    canvas.text((16, 26), _title(plan), inks.TITLE, font_weight="700", fill=inks.INK)
    canvas.text((16, 44), _where(plan), inks.DETAIL, fill=inks.SOFT)
    _appliance(canvas, scene)
    _members(canvas, scene)
    _walls(canvas, scene)
    _frame(canvas, scene)
    _second_place(canvas, scene)
    _pipe(canvas, scene)
    found = ceiling_labels(scene)
    labels(canvas, found, bend=LEFT + SIDE + 14, left=LEFT + SIDE + 48, right=WIDTH - 10, top=TOP,
           bottom=HEIGHT - 40)  # fmt: skip
    _dimensions(canvas, scene)
    _rose(canvas, scene)
    return canvas.document(WIDTH, HEIGHT, _title(plan), ceiling_words(scene, found))


def _title(plan: Plan) -> str:
    in_wall = plan.survey.route == THROUGH_WALL
    return "Wall framing, seen from the room" if in_wall else "Ceiling framing, seen from above"


def _where(plan: Plan) -> str:
    if plan.survey.route == THROUGH_WALL:
        return "Studs counted from the corner on the left"
    if plan.survey.placement == "corner":
        return "Members counted from the corner wall they run along; the corner is at the top left"
    wall = "the left wall" if plan.survey.member_direction == "front to back" else "the wall behind"
    return (
        f"Members run {plan.survey.member_direction}, counted from {wall}; wall behind the appliance on top"
    )


def _appliance(canvas: Canvas, scene: CeilingScene) -> None:
    """Appliance in the room below, dashed."""
    outline = scene.outline() if scene.plan.survey.route != THROUGH_WALL else ()
    if outline:
        canvas.polygon(
            [scene.at(*point) for point in outline],
            fill=inks.ATTIC,
            stroke=inks.SOFT,
            stroke_width="1.4",
            stroke_dasharray="9 4",
        )


def _members(canvas: Canvas, scene: CeilingScene) -> None:
    low, high = scene.middle[1] - scene.half_shown, scene.middle[1] + scene.half_shown
    low = max(low, scene.walls()[1] or low)
    look = {"fill": inks.WOOD, "stroke": inks.WOOD_LINE}
    dash = None if scene.plan.bay_clear is not None else "6 4"
    far = scene.near_face + scene.clear
    for start, end in scene.members():
        cut = scene.plan.members_cut and start >= scene.near_face and end <= far
        edge = scene.opening / 2 + scene.stock
        for part in ((low, -edge), (edge, high)) if cut else ((low, high),):
            scene.box(canvas, (start, part[0]), (end, part[1]), stroke_dasharray=dash, **look)
    if scene.plan.members_cut:
        for start in (scene.near_face - 2 * scene.thickness, far + scene.thickness):
            scene.box(canvas, (start, low), (start + scene.thickness, high), stroke_dasharray="6 3", **look)


def _walls(canvas: Canvas, scene: CeilingScene) -> None:
    """Walls within the drawing, as thick lines."""
    across, along = scene.walls()
    half, (mid_across, mid_along) = scene.half_shown, scene.middle
    look = {"stroke": inks.IRON, "stroke_width": "5"}
    if abs(across - mid_across) <= half and scene.plan.wall_to_centre is not None:
        start = mid_along - half if along is None else along
        canvas.line(scene.at(across, start), scene.at(across, mid_along + half), **look)
    if along is not None and abs(along - mid_along) <= half:
        canvas.line(scene.at(across, along), scene.at(mid_across + half, along), **look)


def _frame(canvas: Canvas, scene: CeilingScene) -> None:
    """Headers across the bay, blocks between them."""
    half = scene.opening / 2
    if scene.too_wide:
        scene.box(
            canvas,
            (scene.planned - half, -half),
            (scene.planned + half, half),
            fill="none",
            stroke=inks.WARNING,
            stroke_width="2",
            stroke_dasharray="8 4",
        )
        return
    near, far, stock = scene.near_face, scene.near_face + scene.clear, scene.stock
    look = {"fill": inks.PAPER, "stroke": inks.INK, "stroke_width": "1.5"}
    if not scene.plan.cut_list:
        look["stroke_dasharray"] = "6 4"
    for side in (-1, 1):
        scene.box(canvas, (near, side * half), (far, side * (half + stock)), **look)
        edge = scene.planned + side * half
        outer = min(max(edge + side * stock, near), far)
        if abs(outer - edge) > 1e-6 and near - 1e-9 <= edge <= far + 1e-9:
            scene.box(canvas, (edge, -half), (outer, half), **look)


def _second_place(canvas: Canvas, scene: CeilingScene) -> None:
    """Box at the other position the appliance may move to, dashed."""
    if scene.other is None:
        return
    half, along = scene.opening / 2, scene.along(scene.other.centre)
    centre = scene.other.centre
    look: dict[str, str | float | None] = {"fill": "none", "stroke": inks.WARNING, "stroke_dasharray": "5 4"}
    scene.box(canvas, (centre - half, along - half), (centre + half, along + half), **look)
    outer = (scene.plan.chimney.outer_diameter or 0.25) / 2 * scene.scale
    canvas.circle(scene.at(centre, along), outer, **look)


def _pipe(canvas: Canvas, scene: CeilingScene) -> None:
    chimney = scene.plan.chimney
    outer = (chimney.outer_diameter or 0.25) / 2 * scene.scale
    inner = (chimney.inner_diameter or 0.15) / 2 * scene.scale
    middle = scene.at(scene.planned, 0)
    if chimney.clearance is not None:
        kept = outer + chimney.clearance * scene.scale
        canvas.circle(middle, kept, fill="none", stroke=inks.LINE, stroke_width="1", stroke_dasharray="3 4")
    canvas.circle(middle, outer, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.8")
    canvas.circle(middle, inner, fill=inks.PAPER, stroke=inks.LINE, stroke_width="1")
    bay = scene.near_face + scene.clear / 2
    canvas.line(
        scene.at(bay, -scene.opening / 2 - 0.12),
        scene.at(bay, scene.opening / 2 + 0.12),
        stroke=inks.SOFT,
        stroke_width="1",
        stroke_dasharray="12 3 3 3",
    )
    plumb = scene.at(scene.measured, scene.along(scene.measured))
    _cross(canvas, plumb, inks.INK)
    if math.dist(plumb, middle) > 1:
        _arrow(canvas, plumb, middle, "7 4" if scene.by_elbows else None)


def _cross(canvas: Canvas, at: Point, ink: str) -> None:
    canvas.circle(at, 5, fill="none", stroke=ink, stroke_width="1.6")
    canvas.line((at[0] - 11, at[1]), (at[0] + 11, at[1]), stroke=ink, stroke_width="1.6")
    canvas.line((at[0], at[1] - 11), (at[0], at[1] + 11), stroke=ink, stroke_width="1.6")


def _arrow(
    canvas: Canvas, start: Point, end: Point, dash: str | None = None, ink: str = inks.WARNING
) -> None:
    canvas.line(start, end, stroke=ink, stroke_width="2.4", stroke_dasharray=dash)
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    length = math.hypot(along_x, along_y)
    x, y = along_x / length * 9, along_y / length * 9
    canvas.polygon([end, (end[0] - x - y / 2, end[1] - y + x / 2), (end[0] - x + y / 2, end[1] - y - x / 2)],
                   fill=ink)  # fmt: skip


def _rose(canvas: Canvas, scene: CeilingScene) -> None:
    """Directions of the room, below the drawing on the left."""
    x, y = _ROSE
    look = {"stroke": inks.SOFT, "stroke_width": "1.2"}
    if scene.corner:
        _arrow(canvas, (x + 16, y + 16), (x - 14, y - 14), ink=inks.SOFT)
        canvas.text((x - 20, y - 22), "corner", inks.DETAIL, fill=inks.SOFT, text_anchor="middle")
        canvas.text((x + 20, y + 32), "room", inks.DETAIL, fill=inks.SOFT, text_anchor="middle")
        return
    canvas.line((x - 16, y), (x + 16, y), **look)
    canvas.line((x, y - 16), (x, y + 16), **look)
    upper, lower = ("up", "down") if scene.plan.survey.route == THROUGH_WALL else ("back", "front")
    words = ((upper, (x, y - 20), "middle"), (lower, (x, y + 30), "middle"),
             ("left", (x - 20, y + 4), "end"), ("right", (x + 20, y + 4), "start"))  # fmt: skip
    for word, at, anchor in words:
        canvas.text(at, word, inks.DETAIL, fill=inks.SOFT, text_anchor=anchor)


def _dimensions(canvas: Canvas, scene: CeilingScene) -> None:
    say, plan = scene.say, scene.plan
    near, far = scene.near_face, scene.near_face + scene.clear
    words = "not known" if plan.bay_clear is None else say.length(far - near)
    _chain(canvas, scene, 0, [near, far], [words])
    landed = plan.plumb_offset is not None or scene.planned != scene.measured
    if not landed or plan.opening is None or scene.too_wide:
        return
    half = scene.opening / 2
    stops = [near, scene.planned - half, scene.planned + half, far]
    stops = [stop for index, stop in enumerate(stops) if index == 0 or stop - stops[index - 1] > EQUAL_WITHIN]
    if min(end - start for start, end in pairwise(stops)) > 0:
        _chain(canvas, scene, 1, stops, [say.length(end - start) for start, end in pairwise(stops)])


def _chain(
    canvas: Canvas, scene: CeilingScene, row: int, stops: Sequence[float], figures: Sequence[str]
) -> None:
    places = [scene.at(stop, scene.middle[1]) for stop in stops]
    if scene.upright:
        level_chain(canvas, TOP + SIDE + 18 + 36 * row, [x for x, _ in places], figures)
    else:
        upwards = [y for _, y in reversed(places)]
        chain(canvas, LEFT - 12 - 62 * row, upwards, figures[::-1], reach=58)
