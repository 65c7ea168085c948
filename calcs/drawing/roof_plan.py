"""The roof seen from above: slopes, ridge, opening, the circle that is looked at and what stands in it."""

from __future__ import annotations

import math
from itertools import pairwise

from calcs.drawing import inks
from calcs.drawing.marks import Label, column_height, labels, upright
from calcs.drawing.roof_hole import HOLE_HEIGHT, draw_hole, hole_words
from calcs.drawing.roof_view import LEFT, SIDE, TOP, WIDTH, RoofView, Stand, roof_view
from calcs.drawing.svg import Canvas, Point
from calcs.plan import Plan
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL
from calcs.routes.wall import THROUGH
from calcs.wording import Wording

NOT_KNOWN = "not known"
LABELS_LEFT = LEFT + SIDE + 44
_GROUND = "#e9edf0"
_TITLE = "Roof, seen from above"
_FILLS = {"slope": inks.PAPER, "far slope": inks.ATTIC, "hipped end": "#f1efe9", "roof": inks.PAPER}
#: Where the level dimension of ridge and eaves stands, as a share of the square left of the flue.
_DIMENSION_AT = 0.2


def roof_plan_svg(plan: Plan, system: str | None = None, *, prefix: str = "roof") -> str:
    """Draw the roof around the chimney, seen from above.

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
        An SVG document, 820 px wide, with title and description; "" where no roof is passed

    Raises
    ------
    ValueError
        If `system` is not known.

    Notes
    -----
    Uphill is at the top. Obstacles stand at their distance; the direction they are drawn in was not
    measured. Below the roof stands the hole in the deck, seen square to it.

    Examples
    --------
    >>> from calcs.plan import make_plan
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> "not known" in roof_plan_svg(plan)
    True
    """
    survey = plan.survey
    if survey.route == LINED_CHIMNEY:
        return ""
    if survey.route == THROUGH_WALL and (survey.eaves_way != THROUGH or survey.wall_side == "gable"):
        return ""
    view = roof_view(plan, Wording(system or plan.system))
    canvas = Canvas(prefix)
    canvas.text((16, 26), _TITLE, inks.TITLE, font_weight="700", fill=inks.INK)
    canvas.text((16, 44), _heading(view), inks.DETAIL, fill=inks.SOFT)
    if view.surfaces is not None:
        canvas.rect(LEFT, TOP, SIDE, SIDE, fill=_GROUND)
    _slopes(canvas, view)
    _circle(canvas, view)
    _slope_arrows(canvas, view)
    for stand in view.stands:
        _stand(canvas, view, stand)
    _chimney(canvas, view)
    _dimensions(canvas, view)
    _uphill(canvas, view)
    canvas.rect(LEFT, TOP, SIDE, SIDE, fill="none", stroke=inks.LINE, stroke_width="1")
    _high_point(canvas, view)
    found = _labels(view)
    bottom = TOP + max(SIDE, column_height(found, WIDTH - 10 - LABELS_LEFT))
    labels(canvas, found, bend=LEFT + SIDE + 12, left=LABELS_LEFT, right=WIDTH - 10, top=TOP, bottom=bottom)
    height = bottom + 24
    words = hole_words(view)
    if words:
        draw_hole(canvas, view, bottom + 34, words)
        height += HOLE_HEIGHT
    told = [f"{label.name}: {label.detail}." for label in found if label.detail]
    return canvas.document(WIDTH, height, _TITLE, " ".join(["Uphill at the top.", *told, *words]))


def _heading(view: RoofView) -> str:
    shape = {"gable": "Gable roof", "shed": "Shed roof", "hip": "Hip roof", "flat": "Flat roof"}
    name = shape[view.plan.survey.roof_shape]
    slope = f"slope {NOT_KNOWN}" if view.rise is None else view.say.pitch(view.rise)
    words = f"{name}, {slope}" if name != "Flat roof" else name
    return f"{words}; distances are level" + (
        "; the direction of obstacles was not measured" if view.stands else ""
    )


def _slopes(canvas: Canvas, view: RoofView) -> None:
    if view.surfaces is None:
        return
    for face in view.surfaces.roof:
        corners = view.clipped(face.corners)
        if len(corners) > 2:
            canvas.polygon(corners, fill=_FILLS[face.name])
    drawn = set()
    for face in view.surfaces.roof:
        for start, end in pairwise((*face.corners, face.corners[0])):
            if (end, start) in drawn:
                continue
            drawn.add((start, end))
            _edge(canvas, view, start, end)


def _edge(canvas: Canvas, view: RoofView, start: Point, end: Point) -> None:
    """An eave, a ridge or a hip, as far as it is shown."""
    ends = view.clipped([start, end])
    if len(ends) < 2:
        return
    ridge = view.surfaces.ridge if view.surfaces else None
    top = ridge is not None and start[1] == end[1] == ridge[0][1]
    canvas.line(min(ends), max(ends), stroke=inks.INK, stroke_width="2.6" if top else "1.6")


def _slope_arrows(canvas: Canvas, view: RoofView) -> None:
    """Arrows down the slopes, with the pitch beside them."""
    if view.surfaces is None or not view.surfaces.slope or view.rise is None:
        return
    x = -view.shown * 0.62
    ridge = view.surfaces.ridge[0][1] if view.surfaces.ridge else 0.0
    eaves = view.plan.survey.eaves_distance
    low = -view.shown if eaves is None else max(-view.shown, -eaves)
    stretches = [(min(ridge, view.shown * 0.55), low, view.say.pitch(view.rise))]
    if view.surfaces.shape != "shed" and view.shown - ridge > 0.5:
        stretches.append((ridge, view.shown, ""))
    for high, end, words in stretches:
        if abs(high - end) * view.scale < 60:
            continue
        middle, way = (high + end) / 2, math.copysign(24 / view.scale, end - high)
        _arrow(canvas, view.at(x, middle - way), view.at(x, middle + way), inks.SOFT)
        place = view.at(x, middle)
        if words:
            canvas.side_text((place[0] - 9, place[1]), words, inks.NOTE, fill=inks.SOFT)


def _arrow(canvas: Canvas, start: Point, end: Point, ink: str) -> None:
    canvas.line(start, end, stroke=ink, stroke_width="1.6")
    length = math.dist(start, end)
    x, y = (end[0] - start[0]) / length * 8, (end[1] - start[1]) / length * 8
    canvas.polygon(
        [end, (end[0] - x - y / 2, end[1] - y + x / 2), (end[0] - x + y / 2, end[1] - y - x / 2)], fill=ink
    )


def _circle(canvas: Canvas, view: RoofView) -> None:
    if view.circle is None:
        return
    canvas.circle(
        view.at(0, 0), view.circle * view.scale, fill="none", stroke=inks.REQUIRED, stroke_width="1.8",
        stroke_dasharray="9 5",
    )  # fmt: skip
    angle = math.radians(-32)
    way = (math.cos(angle), math.sin(angle))
    half = view.outer / 2
    start, end = view.at(way[0] * half, way[1] * half), view.at(way[0] * view.circle, way[1] * view.circle)
    canvas.line(start, end, stroke=inks.REQUIRED, stroke_width="1")
    canvas.circle(end, 2.6, fill=inks.REQUIRED)
    middle = (start[0] * 0.42 + end[0] * 0.58, start[1] * 0.42 + end[1] * 0.58)
    canvas.boxed_text(middle, view.say.dimension(view.circle - half), inks.DETAIL, fill=inks.REQUIRED)


def _stand(canvas: Canvas, view: RoofView, stand: Stand) -> None:
    """Something on or beside the roof, by its kind."""
    one, near = stand.obstacle, stand.obstacle.distance
    half, deep = {"parapet": (1.1, 0.24), "neighbour": (1.3, 2.5), "opening": (0.28, 0.56)}.get(
        one.kind, (0.5, 1.0)
    )
    corners = view.clipped(stand.outline(half, near, near + deep))
    line = [(stand.way[0] * at, stand.way[1] * at) for at in (view.outer / 2, near)]
    shown = view.clipped(line)
    if len(corners) < 3 or len(shown) < 2:
        return
    dash = None if stand.counts else "5 4"
    canvas.line(min(shown), max(shown), stroke=inks.LINE, stroke_width="0.9", stroke_dasharray="2 3")
    fill = inks.STEEL if stand.counts else inks.PAPER
    canvas.polygon(corners, fill=fill, stroke=inks.INK, stroke_width="1.4", stroke_dasharray=dash)
    if one.kind == "opening" and len(corners) == 4:
        canvas.line(corners[0], corners[2], stroke=inks.SOFT, stroke_width="1")
        canvas.line(corners[1], corners[3], stroke=inks.SOFT, stroke_width="1")
    if one.kind == "dormer":
        crest = view.clipped(stand.outline(0.0, near, near + deep)[1:3])
        if len(crest) > 1:
            canvas.line(crest[0], crest[1], stroke=inks.INK, stroke_width="1.4")


def _chimney(canvas: Canvas, view: RoofView) -> None:
    half = view.opening / 2
    left, top = view.at(-half, half)
    side = view.opening * view.scale
    dash = None if view.plan.opening is not None else "4 3"
    canvas.rect(left, top, side, side, fill=inks.PAPER, stroke=inks.INK, stroke_width="1.4",
                stroke_dasharray=dash)  # fmt: skip
    radius = view.outer / 2 * view.scale
    canvas.circle(view.at(0, 0), radius, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.6")
    x, y = view.at(0, 0)
    canvas.line((x - 4, y), (x + 4, y), stroke=inks.INK, stroke_width="1.2")
    canvas.line((x, y - 4), (x, y + 4), stroke=inks.INK, stroke_width="1.2")


def _dimensions(canvas: Canvas, view: RoofView) -> None:
    """Level distances to the ridge and to the eaves, where they are shown."""
    survey = view.plan.survey
    x = view.at(-view.shown * 2 * _DIMENSION_AT, 0)[0]
    if view.surfaces is None or view.surfaces.ridge is None:
        return
    stops = [(survey.ridge_distance, 1), (survey.eaves_distance, -1)]
    base = view.at(0, 0)[1]
    for distance, way in stops:
        if distance is None or distance > view.shown or distance * view.scale < 30:
            continue
        y = view.at(0, way * distance)[1]
        canvas.line((view.at(0, 0)[0] - 8, base), (x - 6, base), stroke=inks.LINE, stroke_width="0.8",
                    stroke_dasharray="2 3")  # fmt: skip
        upright(canvas, x, max(base, y), min(base, y), view.say.dimension(distance), side="on")


def _uphill(canvas: Canvas, view: RoofView) -> None:
    if view.surfaces is None or not view.surfaces.slope:
        return
    x = LEFT + SIDE - 36
    _arrow(canvas, (x, TOP + 48), (x, TOP + 12), inks.INK)
    canvas.boxed_text((x, TOP + 58), "uphill", inks.DETAIL, fill=inks.INK)


def _high_point(canvas: Canvas, view: RoofView) -> None:
    found = view.high_point
    if found is None:
        return
    x, y = view.at(found.x, found.y)
    canvas.polygon([(x, y - 9), (x + 8, y + 5), (x - 8, y + 5)], fill=inks.REQUIRED, stroke=inks.PAPER,
                   stroke_width="1")  # fmt: skip


def _labels(view: RoofView) -> list[Label]:
    found = [*_roof_labels(view), *_high_labels(view), _chimney_label(view)]
    for stand in view.stands:
        found.append(_stand_label(view, stand))
    return found


def _roof_labels(view: RoofView) -> list[Label]:
    survey, say = view.plan.survey, view.say
    found: list[Label] = []
    edge = view.shown * 0.93
    if survey.roof_shape == "flat":
        return found
    top = "Upper edge" if survey.roof_shape == "shed" else "Ridge"
    if survey.ridge_distance is None:
        found.append(Label(view.at(edge, view.shown * 0.7), top, NOT_KNOWN, inks.WARNING))
    elif survey.ridge_distance > view.shown:
        words = f"{say.dimension(survey.ridge_distance)} away, beyond what is shown"
        found.append(Label(view.at(edge, view.shown * 0.99), top, words))
    else:
        x = edge if view.surfaces is None or view.surfaces.ridge is None else min(
            edge, view.surfaces.ridge[1][0] - 0.1
        )  # fmt: skip
        words = f"{say.dimension(survey.ridge_distance)} from the flue centre"
        found.append(Label(view.at(max(x, -edge), survey.ridge_distance), top, words))
    eaves = survey.eaves_distance
    if eaves is not None and eaves <= view.shown:
        words = f"{say.dimension(eaves)} from the flue centre"
        found.append(Label(view.at(edge * 0.9, -eaves), "Eaves", words))
    if survey.roof_shape == "hip":
        found.append(_hip_label(view, edge))
    return found


def _hip_label(view: RoofView, edge: float) -> Label:
    hip, eaves = view.plan.survey.hip_distance, view.plan.survey.eaves_distance
    if hip is None or eaves is None:
        return Label(
            view.at(edge, view.shown * 0.2), "Hipped end", "not measured; reckoned as a gable", inks.WARNING
        )
    along = min(edge, hip - 0.1)
    words = f"its eaves {view.say.dimension(hip)} from the flue centre"
    return Label(view.at(along, 0.0 if along < edge else view.shown * 0.2), "Hipped end", words)


def _high_labels(view: RoofView) -> list[Label]:
    termination, found, say = view.plan.termination, view.high_point, view.say
    if termination is None or found is None or view.circle is None:
        return [Label(view.at(view.shown * 0.3, view.shown * 0.4), "Highest within reach", NOT_KNOWN,
                      inks.WARNING)]  # fmt: skip
    passage = termination.height_above_centre - termination.height_above_penetration
    above = max(0.0, found.height - passage)
    where = {"roof": "the roof"}.get(found.kind, found.name)
    if found.kind == "roof" and view.surfaces is not None and view.surfaces.slope:
        ridge = found.height >= view.surfaces.ridge_height - 1e-9
        where = (
            "the " + ("upper edge" if view.surfaces.shape == "shed" else "ridge") if ridge else "the slope"
        )
    stands = f"{where}, {say.dimension(above, 'up')} above the chimney's passage"
    outlet = f"outlet at least {say.dimension(termination.height_above_penetration, 'up')}"
    return [
        Label(
            view.at(found.x, found.y),
            "Highest within reach",
            f"{stands}; {outlet}, {termination.governed_by} governs",
            inks.REQUIRED,
        )
    ]


def _chimney_label(view: RoofView) -> Label:
    outer, gap = view.plan.chimney.outer_diameter, view.plan.chimney.clearance
    words = f"size {NOT_KNOWN}" if outer is None else f"{view.say.length(outer)} outside"
    if gap is not None:
        words += f", {view.say.least(gap)} clear all round"
    return Label(view.at(view.outer * 0.3, -view.outer * 0.3), "Chimney and opening", words)


def _stand_label(view: RoofView, stand: Stand) -> Label:
    one, say = stand.obstacle, view.say
    side = "above" if one.height >= 0 else "below"
    place = f"{one.kind}, {say.dimension(one.distance)} away"
    words = f"{place}, top {say.dimension(abs(one.height))} {side} where the flue passes"
    if view.circle is not None:
        words += "" if stand.counts else "; out of reach"
    at = min(one.distance + 0.12, view.shown * 0.97)
    x, y = stand.way[0] * at, stand.way[1] * at
    return Label(view.at(x, y), one.name[:40] or "Obstacle", words, inks.INK if stand.counts else inks.SOFT)
