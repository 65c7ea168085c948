"""The ceiling seen from above: members, opening, headers and the plumb point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from calcs.checks import EQUAL_WITHIN
from calcs.drawing import inks
from calcs.drawing.marks import Label, chain, labels, level_chain
from calcs.drawing.svg import Canvas, Point
from calcs.framing import LUMBER
from calcs.goods import stock_name
from calcs.plan import Plan
from calcs.wording import Wording

WIDTH, HEIGHT = 820.0, 560.0
#: The square that is drawn to scale, and the stretch of the house it shows [m].
LEFT, TOP, SIDE = 146.0, 76.0, 390.0
SHOWN_BEYOND = 0.2
LARGEST_SCALE = 460.0

_LIKELY_SPACING, _LIKELY_THICKNESS, _LIKELY_OPENING = 0.6096, 0.0381, 0.3556


@dataclass(frozen=True)
class _Ceiling:
    """Distances across the members from the wall they are counted from, and along them [m]."""

    plan: Plan
    say: Wording
    near_face: float
    clear: float
    thickness: float
    opening: float
    measured: float
    planned: float
    scale: float
    upright: bool

    def at(self, across: float, along_members: float) -> Point:
        """Place on paper; `along_members` counts from the flue's centre."""
        first = (across - self.near_face - self.clear / 2) * self.scale
        second = along_members * self.scale
        middle = (LEFT + SIDE / 2, TOP + SIDE / 2)
        if self.upright:
            return middle[0] + first, middle[1] + second
        return middle[0] + second, middle[1] + first

    def box(self, canvas: Canvas, one: Point, other: Point, **look: str | float | None) -> None:
        """Draw a rectangle between two corners given in the house."""
        (a, b), (c, d) = self.at(*one), self.at(*other)
        canvas.rect(min(a, c), min(b, d), abs(c - a), abs(d - b), **look)


def ceiling_plan_svg(plan: Plan, system: str | None = None, *, prefix: str = "ceiling") -> str:
    """Draw the framing around the opening, seen from the attic.

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
        An SVG document, 820 px wide, with title and description

    Raises
    ------
    ValueError
        If `system` is not known.

    Notes
    -----
    The wall behind the appliance is at the top, its left side on the left, as in the room. Where the box
    does not fit, the opening is drawn at the nearest position that does.

    Examples
    --------
    >>> from calcs.plan import make_plan
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> "not known" in ceiling_plan_svg(plan)
    True
    """
    ceiling = _ceiling_of(plan, Wording(system or plan.system))
    canvas = Canvas(prefix)
    canvas.text((16, 26), "Ceiling framing, seen from above", inks.TITLE, font_weight="700", fill=inks.INK)
    canvas.text((16, 44), _where(plan), inks.DETAIL, fill=inks.SOFT)
    _members(canvas, ceiling)
    _frame(canvas, ceiling)
    _pipe(canvas, ceiling)
    found = _labels(ceiling)
    labels(canvas, found, bend=LEFT + SIDE + 14, left=LEFT + SIDE + 48, right=WIDTH - 10, top=TOP,
           bottom=HEIGHT - 40)  # fmt: skip
    _dimensions(canvas, ceiling)
    told = " ".join(f"{label.name}: {label.detail}." for label in found if label.detail)
    return canvas.document(WIDTH, HEIGHT, "Ceiling framing, seen from above", told)


def _where(plan: Plan) -> str:
    wall = "the left wall" if plan.survey.member_direction == "front to back" else "the wall behind"
    return (
        f"Members run {plan.survey.member_direction}, counted from {wall}; wall behind the appliance on top"
    )


def _ceiling_of(plan: Plan, say: Wording) -> _Ceiling:
    survey = plan.survey
    thickness = survey.member_thickness or _LIKELY_THICKNESS
    clear = plan.bay_clear or (_LIKELY_SPACING - thickness)
    opening = plan.opening or _LIKELY_OPENING
    centre = survey.wall_to_flue_centre
    if plan.plumb_offset is not None and centre is not None:
        near_face, measured = centre - plan.plumb_offset - clear / 2, centre
    else:
        near_face, measured = 0.0, clear / 2
    best = plan.nearest.best if plan.nearest else None
    planned = measured if best is None or plan.plumb_offset is None else best.centre
    if best is not None and not near_face <= planned <= near_face + clear:
        step = clear + thickness
        near_face += step * math.floor((planned - near_face) / step)
    reach = max(clear / 2, abs(measured - near_face - clear / 2)) + thickness + SHOWN_BEYOND
    return _Ceiling(
        plan=plan,
        say=say,
        near_face=near_face,
        clear=clear,
        thickness=thickness,
        opening=opening,
        measured=measured,
        planned=planned,
        scale=min(LARGEST_SCALE, SIDE / 2 / max(reach, opening / 2 + 0.22)),
        upright=survey.member_direction == "front to back",
    )


def _members(canvas: Canvas, ceiling: _Ceiling) -> None:
    half = SIDE / 2 / ceiling.scale
    step = ceiling.clear + ceiling.thickness
    low, high = ceiling.near_face + ceiling.clear / 2 - half, ceiling.near_face + ceiling.clear / 2 + half
    for index in range(-3, 4):
        start = ceiling.near_face - ceiling.thickness + index * step
        end = start + ceiling.thickness
        if start < low - 1e-9 or end > high + 1e-9:
            continue
        dash = None if ceiling.plan.bay_clear is not None else "6 4"
        ceiling.box(
            canvas, (start, -half), (end, half), fill=inks.WOOD, stroke=inks.WOOD_LINE, stroke_dasharray=dash
        )


def _frame(canvas: Canvas, ceiling: _Ceiling) -> None:
    """Headers across the bay, blocks between them."""
    half = ceiling.opening / 2
    if _too_wide(ceiling):
        ceiling.box(
            canvas,
            (ceiling.planned - half, -half),
            (ceiling.planned + half, half),
            fill="none",
            stroke=inks.WARNING,
            stroke_width="2",
            stroke_dasharray="8 4",
        )
        return
    stock = LUMBER.get(ceiling.plan.survey.framing_stock, (ceiling.thickness, 0.0))[0]
    near, far = ceiling.near_face, ceiling.near_face + ceiling.clear
    look = {"fill": inks.PAPER, "stroke": inks.INK, "stroke_width": "1.5"}
    if not ceiling.plan.cut_list:
        look["stroke_dasharray"] = "6 4"
    for side in (-1, 1):
        ceiling.box(canvas, (near, side * half), (far, side * (half + stock)), **look)
        edge = ceiling.planned + side * half
        outer = min(max(edge + side * stock, near), far)
        if abs(outer - edge) > 1e-6 and near - 1e-9 <= edge <= far + 1e-9:
            ceiling.box(canvas, (edge, -half), (outer, half), **look)


def _pipe(canvas: Canvas, ceiling: _Ceiling) -> None:
    chimney = ceiling.plan.chimney
    outer = (chimney.outer_diameter or 0.25) / 2 * ceiling.scale
    inner = (chimney.inner_diameter or 0.15) / 2 * ceiling.scale
    middle = ceiling.at(ceiling.planned, 0)
    if chimney.clearance is not None:
        kept = outer + chimney.clearance * ceiling.scale
        canvas.circle(middle, kept, fill="none", stroke=inks.LINE, stroke_width="1", stroke_dasharray="3 4")
    canvas.circle(middle, outer, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.8")
    canvas.circle(middle, inner, fill=inks.PAPER, stroke=inks.LINE, stroke_width="1")
    bay = ceiling.near_face + ceiling.clear / 2
    canvas.line(
        ceiling.at(bay, -ceiling.opening / 2 - 0.12),
        ceiling.at(bay, ceiling.opening / 2 + 0.12),
        stroke=inks.SOFT,
        stroke_width="1",
        stroke_dasharray="12 3 3 3",
    )
    _cross(canvas, ceiling.at(ceiling.measured, 0), inks.INK)
    if abs(ceiling.planned - ceiling.measured) > 1e-6:
        _arrow(canvas, ceiling.at(ceiling.measured, 0), middle)


def _cross(canvas: Canvas, at: Point, ink: str) -> None:
    canvas.circle(at, 5, fill="none", stroke=ink, stroke_width="1.6")
    canvas.line((at[0] - 11, at[1]), (at[0] + 11, at[1]), stroke=ink, stroke_width="1.6")
    canvas.line((at[0], at[1] - 11), (at[0], at[1] + 11), stroke=ink, stroke_width="1.6")


def _arrow(canvas: Canvas, start: Point, end: Point) -> None:
    canvas.line(start, end, stroke=inks.WARNING, stroke_width="2.4")
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    length = (along_x**2 + along_y**2) ** 0.5
    x, y = along_x / length * 9, along_y / length * 9
    canvas.polygon(
        [end, (end[0] - x - y / 2, end[1] - y + x / 2), (end[0] - x + y / 2, end[1] - y - x / 2)],
        fill=inks.WARNING,
    )


def _dimensions(canvas: Canvas, ceiling: _Ceiling) -> None:
    say, plan = ceiling.say, ceiling.plan
    near, far = ceiling.near_face, ceiling.near_face + ceiling.clear
    _chain(
        canvas, ceiling, 0, [near, far], ["not known" if plan.bay_clear is None else say.length(far - near)]
    )
    if plan.plumb_offset is None or plan.opening is None or _too_wide(ceiling):
        return
    half = ceiling.opening / 2
    stops = [near, ceiling.planned - half, ceiling.planned + half, far]
    stops = [stop for index, stop in enumerate(stops) if index == 0 or stop - stops[index - 1] > 1e-6]
    _chain(canvas, ceiling, 1, stops, [say.length(end - start) for start, end in pairwise(stops)])


def _chain(
    canvas: Canvas, ceiling: _Ceiling, row: int, stops: Sequence[float], figures: Sequence[str]
) -> None:
    places = [ceiling.at(stop, 0) for stop in stops]
    if ceiling.upright:
        level_chain(canvas, TOP + SIDE + 18 + 36 * row, [x for x, _ in places], figures)
    else:
        upwards = [y for _, y in reversed(places)]
        chain(canvas, LEFT - 12 - 62 * row, upwards, figures[::-1], reach=58)


def _too_wide(ceiling: _Ceiling) -> bool:
    return ceiling.plan.bay_clear is not None and ceiling.opening > ceiling.clear + EQUAL_WITHIN


def _labels(ceiling: _Ceiling) -> list[Label]:
    plan, say = ceiling.plan, ceiling.say
    survey = plan.survey
    half = ceiling.opening / 2
    far = ceiling.near_face + ceiling.clear
    spacing = "spacing not known" if survey.member_spacing is None else (
        f"{say.length(survey.member_spacing)} on centre"
    )  # fmt: skip
    rule = "; never cut" if survey.member_kind == "truss" else ""
    found = [
        Label(
            ceiling.at(far + ceiling.thickness / 2, -half - 0.1),
            survey.member_kind.capitalize(),
            spacing + rule,
        )
    ]
    wider = 1 if far - ceiling.planned >= ceiling.planned - ceiling.near_face else -1
    places = {
        "header": (far - 0.05, half + 0.019),
        "block": (ceiling.planned + wider * (half + 0.015), half * 0.6),
    }
    for cut in plan.cut_list:
        words = f"{cut.count} of {say.length(cut.length)}, {stock_name(cut.stock, say.system)}"
        found.append(Label(ceiling.at(*places[cut.name]), cut.name.capitalize(), words))
    if _too_wide(ceiling):
        words = f"{say.least(ceiling.opening)} opening, {say.most(ceiling.clear)} bay"
        place = ceiling.at(ceiling.planned - half, half * 0.9)
        found.append(Label(place, "The box does not fit", words, inks.WARNING))
    outer = plan.chimney.outer_diameter
    if outer is not None:
        gap = plan.chimney.clearance
        words = f"{say.length(outer)} outside" + (
            "" if gap is None else f", {say.least(gap)} clear all round"
        )
        found.append(Label(ceiling.at(ceiling.planned + outer * 0.3, -outer * 0.3), "Chimney", words))
    found.append(Label(ceiling.at(ceiling.measured, 0), "Plumb point", _plumb_words(ceiling)))
    move = ceiling.planned - ceiling.measured
    if abs(move) > 1e-6:
        words = _direction(ceiling, move)
        found.append(
            Label(ceiling.at(ceiling.planned, 0), f"Move {say.least(abs(move))} {words}", "", inks.WARNING)
        )
    return found


def _plumb_words(ceiling: _Ceiling) -> str:
    offset = ceiling.plan.plumb_offset
    if offset is None:
        return "not known; drawn in the middle of the bay"
    wall = "left wall" if ceiling.upright else "wall behind"
    place = f"{ceiling.say.length(ceiling.measured)} from the {wall}"
    if abs(offset) < 1e-6:
        return f"{place}, on the bay's centre"
    return f"{place}, {ceiling.say.length(abs(offset))} off the bay's centre"


def _direction(ceiling: _Ceiling, move: float) -> str:
    if ceiling.upright:
        return "to the left" if move < 0 else "to the right"
    return "back" if move < 0 else "forward"
