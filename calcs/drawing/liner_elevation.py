"""The elevation of a lined masonry chimney: a section through room, masonry and roof, to scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from calcs.drawing import inks
from calcs.drawing.figures import appliance_clearances, overall_height, scale_bar
from calcs.drawing.flue import draw_appliance
from calcs.drawing.marks import Label, chain, column_height, labels, upright
from calcs.drawing.scene import LARGEST_SCALE, LEFT, RIGHT, TALLEST, TOP, WIDTH
from calcs.drawing.svg import Canvas, Point, shortened
from calcs.levels import levels_of
from calcs.plan import Plan
from calcs.routes.liner import FIREPLACE, least_side, outside_of
from calcs.wording import Wording

NOT_KNOWN = "not known"
TITLE = "Section through room, masonry and roof"
_LABELS_LEFT, _LABELS_RIGHT, _LABELS_TOP = RIGHT + 26, WIDTH - 8, TOP - 12
#: Drawn, never dimensioned, where a measure is missing [m; rise in 12].
_LIKELY = {
    "side": 0.2, "wall": 0.1, "entry": 1.5, "top": 6.5, "above": 1.2, "rise": 6.0, "outer": 0.17,
    "insulated": 0.19, "inner": 0.15, "crown": 0.1, "collar": 0.75, "run": 0.4, "ceiling": 2.4,
}  # fmt: skip
_LONGEST_RUN, _OUTSIDE, _GROUND, _LINTEL = 0.9, 0.6, 0.25, 0.3
_BRICK = "#ecd9cf"
_BRICK_LINE = "#8a5a44"


@dataclass(frozen=True)
class LinerScene:
    """Heights above the floor and distances from the flue's centre [m], the room on the left."""

    plan: Plan
    say: Wording
    assumed: frozenset[str]
    side: float
    wall: float
    entry: float
    top: float
    roof: float
    slope: float
    outer: float
    insulated: float
    outlet: float
    collar: float
    appliance: float
    ceiling: float
    required: float | None
    scale: float
    centre: float
    ground: float

    @property
    def height(self) -> float:
        """Height of the whole paper [px]."""
        return self.ground + _GROUND * self.scale + 74

    @property
    def half(self) -> float:
        """From the flue's centre to the masonry's outside [m]."""
        return self.side / 2 + self.wall

    def at(self, x: float, z: float) -> Point:
        """Place on paper of a point of the house."""
        return self.centre + x * self.scale, self.ground - z * self.scale


def liner_scene(plan: Plan, say: Wording) -> LinerScene:
    """Fit the plan on the paper.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units of the drawing

    Returns
    -------
    LinerScene
        Heights, distances and scale
    """
    survey, chimney, appliance = plan.survey, plan.chimney, plan.appliance
    levels = levels_of(survey, appliance, chimney)
    assumed: set[str] = set()

    def likely(name: str, known: float | None) -> float:
        if known is None:
            assumed.add(name)
            return _LIKELY[name]
        return known

    side, wall = likely("side", least_side(survey)), likely("wall", survey.masonry_wall)
    entry, top = likely("entry", survey.flue_entry_height), likely("top", survey.flue_top_height)
    slope = likely("rise", levels.rise) / 12
    roof = top - likely("above", survey.chimney_above_roof) if levels.roof is None else levels.roof
    outlet = plan.outlet or top + likely("crown", chimney.liner_above_crown)
    run = min(max(likely("run", survey.connector_run), 0.25), _LONGEST_RUN)
    stands = -(side / 2 + wall + run)
    left, right = stands - 0.75, side / 2 + wall + _OUTSIDE
    highest = max(outlet + 0.35, (plan.outlet_required or 0.0) + 0.15)
    scale = min(LARGEST_SCALE, (RIGHT - LEFT) / (right - left), TALLEST / highest)
    spare = (RIGHT - LEFT) - (right - left) * scale
    outer = likely("outer", chimney.outer_diameter)
    return LinerScene(
        plan=plan, say=say, assumed=frozenset(assumed), side=side, wall=wall, entry=entry,
        top=max(top, entry + 0.5),
        roof=roof, slope=slope, outer=outer, insulated=max(outer, likely("insulated", outside_of(chimney))),
        outlet=outlet, collar=min(likely("collar", appliance.collar_height), entry - 0.05), appliance=stands,
        ceiling=likely("ceiling", survey.floor_to_ceiling), required=plan.outlet_required, scale=scale,
        centre=LEFT - left * scale + spare * 0.6, ground=TOP + highest * scale,
    )  # fmt: skip


def liner_elevation_svg(plan: Plan, say: Wording, prefix: str) -> str:
    """Draw the section through the masonry with the planned liner.

    Parameters
    ----------
    plan : Plan
        The plan to draw
    say : Wording
        Units of the drawing
    prefix : str
        Begins every id

    Returns
    -------
    str
        An SVG document, 820 px wide, with title and description

    Notes
    -----
    The room is on the left. What is not measured is drawn at a likely size and dimensioned "not known".
    """
    view = liner_scene(plan, say)
    needed = column_height(liner_labels(view), _LABELS_RIGHT - _LABELS_LEFT) - (
        view.ground + 24 - _LABELS_TOP
    )
    if needed > 0:
        view = replace(view, ground=view.ground + needed)
    found = liner_labels(view)
    canvas = Canvas(prefix)
    canvas.text((16, 26), TITLE, inks.TITLE, font_weight="700", fill=inks.INK)
    names = [name for name in (plan.appliance.name, plan.chimney.name) if name]
    told = shortened("  |  ".join(names), 120) or "Appliance and liner not entered yet"
    canvas.text((16, 44), told, inks.DETAIL, fill=inks.SOFT)
    for height, _ in _stops(view)[1:]:
        y = view.at(0, height)[1]
        canvas.line((LEFT - 30, y), (view.at(-view.half, 0)[0], y), stroke=inks.FAINT, stroke_width="0.8",
                    stroke_dasharray="2 3")  # fmt: skip
    _house(canvas, view)
    _masonry(canvas, view)
    _liner(canvas, view)
    _connector(canvas, view)
    draw_appliance(canvas, view.at, view.appliance, view.collar, view.ground)
    labels(canvas, found, bend=RIGHT - 4, left=_LABELS_LEFT, right=_LABELS_RIGHT, top=_LABELS_TOP,
           bottom=view.ground + 24)  # fmt: skip
    _dimensions(canvas, view)
    note = "Parts marked not known are drawn at a likely size, not to scale." if view.assumed else (
        "Seen from the side, the room on the left; the flue is cut through its lesser side."
    )  # fmt: skip
    y = view.height - 26
    scale_bar(canvas, y, view.scale, say.system)
    canvas.text((LEFT + 150, y + 4), note, inks.NOTE, fill=inks.SOFT)
    parts = [f"{one.name}: {one.detail}." for one in found if one.detail]
    return canvas.document(WIDTH, view.height, TITLE, " ".join(["The room is on the left.", *parts]))


def _stops(view: LinerScene) -> list[tuple[float, str]]:
    """Heights of the dimension chain with the figure that ends at each [m]."""
    survey, say = view.plan.survey, view.say
    entry, top = survey.flue_entry_height, survey.flue_top_height
    above = None if view.plan.outlet is None or top is None else view.plan.outlet - top
    return [
        (0.0, ""),
        (view.entry, NOT_KNOWN if entry is None else say.dimension(entry)),
        (view.top, NOT_KNOWN if None in (entry, top) else say.dimension(view.top - view.entry)),
        (view.outlet, NOT_KNOWN if above is None else say.dimension(above)),
    ]


def _house(canvas: Canvas, view: LinerScene) -> None:
    """Floor, ceiling and roof; the masonry stands in front of its far side when it is indoors."""
    outdoors = view.plan.survey.chimney_place == "outside"
    floor, edge = view.at(0, 0)[1], view.at(-view.half, 0)[0]
    end = edge if outdoors else RIGHT
    canvas.rect(LEFT, floor, end - LEFT, 9, fill=inks.WOOD)
    canvas.line((LEFT, floor), (end, floor), stroke=inks.INK, stroke_width="1.8")
    ceiling = view.at(0, view.ceiling)[1]
    canvas.rect(LEFT, ceiling - 4, end - LEFT, 4, fill=inks.PAPER, stroke=inks.WOOD_LINE, stroke_width="0.9")
    if outdoors:
        ground = view.at(0, -_GROUND)[1]
        canvas.line((view.at(view.half, 0)[0], ground), (RIGHT, ground), stroke=inks.INK, stroke_width="1.8")
    left, right = (LEFT - view.centre) / view.scale, (RIGHT - view.centre) / view.scale
    reach = view.half + 0.25 if outdoors else right
    surface = [(left, view.roof - left * view.slope), (reach, view.roof - reach * view.slope)]
    if surface[0][1] > view.outlet + 0.3:
        x = (view.roof - view.outlet - 0.3) / max(view.slope, 1e-9)
        surface[0] = (max(left, x), view.roof - max(left, x) * view.slope)
    points = [view.at(*one) for one in surface]
    under = [(x, y + 0.18 * view.scale) for x, y in reversed(points)]
    canvas.polygon(points + under, fill=inks.WOOD, stroke=inks.WOOD_LINE, stroke_width="0.9")
    canvas.polyline(points, stroke=inks.INK, stroke_width="2.6")
    canvas.text((LEFT + 16, view.at(0, view.ceiling * 0.62)[1]), "ROOM", inks.NOTE, fill=inks.SOFT,
                letter_spacing="2.2")  # fmt: skip


def _masonry(canvas: Canvas, view: LinerScene) -> None:
    """Both walls of the flue from the ground to the crown, open at the thimble or the fireplace."""
    left, top = view.at(-view.half, view.top)
    right, bottom = view.at(view.half, -_GROUND)
    canvas.rect(left, top, right - left, bottom - top, fill=_BRICK, stroke=_BRICK_LINE, stroke_width="1.4")
    courses = int((bottom - top) // 12)
    for number in range(1, courses):
        y = top + number * 12
        for start, end in ((-view.half, -view.side / 2), (view.side / 2, view.half)):
            canvas.line(
                (view.at(start, 0)[0], y), (view.at(end, 0)[0], y), stroke=_BRICK_LINE, stroke_width="0.5"
            )
    inside, low = view.at(-view.side / 2, view.top), view.at(view.side / 2, min(0.0, view.entry))
    wide, tall = low[0] - inside[0], low[1] - inside[1]
    canvas.rect(*inside, wide, tall, fill=inks.PAPER, stroke=_BRICK_LINE, stroke_width="1")
    if view.plan.survey.flue_entry == FIREPLACE:
        x, y = view.at(-view.half - 0.01, min(view.collar + _LINTEL, view.entry))
        canvas.rect(x, y, view.at(-view.side / 2 + 0.01, 0)[0] - x, view.ground - y, fill=inks.PAPER)
        throat = view.at(-view.side / 2, view.entry)
        canvas.line(throat, view.at(view.side / 2, view.entry), stroke=inks.INK, stroke_width="3.4")


def _liner(canvas: Canvas, view: LinerScene) -> None:
    """Liner in its insulation, top plate and cap."""
    for half, fill, stroke in (
        (view.insulated / 2, "#f6ead9", inks.BATT), (view.outer / 2, inks.STEEL, inks.INK),
    ):  # fmt: skip
        end = view.top if fill != inks.STEEL else view.outlet
        left, top = view.at(-half, end)
        right, bottom = view.at(half, view.entry - (0.2 if view.plan.survey.flue_entry != FIREPLACE else 0.0))
        canvas.rect(left, top, right - left, bottom - top, fill=fill, stroke=stroke, stroke_width="1.3")
    plate = view.half - view.wall / 2
    left, y = view.at(-plate, view.top)
    canvas.rect(left, y - 4, 2 * plate * view.scale, 5, fill=inks.INK)
    half, z = view.outer / 2, view.outlet
    for x in (-half * 0.8, half * 0.8):
        canvas.line(view.at(x, z), view.at(x, z + 0.12), stroke=inks.INK, stroke_width="1.8")
    canvas.polygon([view.at(-half - 0.06, z + 0.12), view.at(half + 0.06, z + 0.12), view.at(0, z + 0.22)],
                   fill=inks.IRON, stroke=inks.INK, stroke_width="1.2", stroke_linejoin="round")  # fmt: skip


def _connector(canvas: Canvas, view: LinerScene) -> None:
    size = view.plan.appliance.collar_diameter or _LIKELY["inner"]
    wide = max(6.0, size * view.scale)
    stands = (view.appliance, view.collar)
    if view.plan.survey.flue_entry == FIREPLACE:
        level = min(view.collar + 0.12, view.entry - 0.05)
        points = [stands, (view.appliance, level), (0.0, level + 0.03), (0.0, view.entry)]
    else:
        points = [stands, (view.appliance, view.entry - 0.03), (-view.outer / 2, view.entry)]
    drawn = [view.at(*one) for one in points]
    canvas.polyline(drawn, stroke=inks.INK, stroke_width=wide, stroke_linejoin="round")
    canvas.polyline(drawn, stroke="#6c7780", stroke_width=wide - 2.6, stroke_linejoin="round")


def _dimensions(canvas: Canvas, view: LinerScene) -> None:
    stops = _stops(view)
    if all(low[0] < high[0] for low, high in pairwise(stops)):
        places, figures = [view.at(0, height)[1] for height, _ in stops], [words for _, words in stops[1:]]
        chain(canvas, LEFT - 22, places, figures, reach=LEFT - 60)
    overall_height(canvas, view.ground, view.at(0, view.outlet)[1], view.plan.outlet, view.say)
    collar = view.plan.appliance.collar_height
    upright(canvas, view.at(view.appliance - 0.31, 0)[0] - 26, view.ground, view.at(0, view.collar)[1],
            NOT_KNOWN if collar is None else view.say.dimension(collar))  # fmt: skip
    if view.required is None:
        return
    y = view.at(0, view.required)[1]
    canvas.line((view.at(-view.half, 0)[0] - 30, y), (RIGHT, y), stroke=inks.REQUIRED, stroke_width="1.8",
                stroke_dasharray="9 4")  # fmt: skip
    limit = view.plan.limits.get("termination.above_penetration")
    if limit is not None and limit.minimum is not None:
        high = view.at(0, view.required - limit.minimum)[1]
        words = view.say.dimension(limit.minimum, "up")
        upright(canvas, view.at(view.half, 0)[0] + 22, high, y, words, ink=inks.REQUIRED, side="on")


def liner_labels(view: LinerScene) -> list[Label]:
    """Names and figures of the parts, from the cap down.

    Parameters
    ----------
    view : LinerScene
        The scene

    Returns
    -------
    list of Label
        A label for each part, with the point it names
    """
    plan, say, survey, chimney = view.plan, view.say, view.plan.survey, view.plan.chimney
    limit, found = plan.limits.get("termination.above_penetration"), plan.termination
    needs, ink = NOT_KNOWN, inks.WARNING
    if limit is not None and limit.minimum is not None and found is not None:
        above = say.dimension(limit.minimum, "up")
        needs = f"{above} above where the masonry passes the roof; {found.governed_by} governs"
        ink = inks.REQUIRED
    size = f"size {NOT_KNOWN}"
    if chimney.inner_diameter is not None and chimney.insulation_thickness is not None:
        thick = chimney.insulation_thickness
        wrap = f", {say.length(thick)} of insulation" if thick else ", bare"
        size = f"{say.length(chimney.inner_diameter)} inside{wrap}"
    long = f"; {say.height(plan.liner_length, 'up')} long" if plan.liner_length is not None else ""
    flue = f"flue {NOT_KNOWN}"
    if survey.flue_width is not None and survey.flue_shape:
        across = say.length(survey.flue_width)
        depth = "" if survey.flue_depth is None else f" x {say.length(survey.flue_depth)}"
        flue = f"flue {across} round" if survey.flue_shape == "round" else f"flue {across}{depth}"
    foot = "Throat closed around the liner" if survey.flue_entry == FIREPLACE else "Tee with cleanout"
    told = appliance_clearances(plan, say)
    height = view.required if view.required is not None else view.outlet
    middle = (view.top + view.entry) / 2
    return [
        Label(view.at(view.outer / 2 * 0.6, view.outlet + 0.16), "Rain cap"),
        Label((RIGHT - 26, view.at(0, height)[1]), "Outlet at least this high", needs, ink),
        Label(view.at(view.half - view.wall / 2, view.top), "Top plate", "sealed on the crown"),
        Label(view.at(view.outer / 2 - 0.02, view.top - 0.6), "Liner", f"{size}{long}"),
        Label(view.at(view.half - view.wall / 2, middle), "Masonry", f"{flue}; {_beside(view)}"),
        Label(view.at(view.outer / 2 - 0.02, view.entry), foot),
        _connector_label(view),
        Label(
            view.at(view.appliance + 0.28, view.collar * 0.55), plan.appliance.name or "Appliance",
            f"clear: {', '.join(told)}" if told else f"clearances {NOT_KNOWN}",
        ),
    ]  # fmt: skip


def _beside(view: LinerScene) -> str:
    least = view.plan.limits.get("masonry.clearance")
    if least is None or least.minimum is None:
        return f"clearance {NOT_KNOWN}"
    if least.minimum == 0:
        return "may touch what burns, by the liner's listing"
    return f"at least {view.say.least(least.minimum)} to what burns"


def _connector_label(view: LinerScene) -> Label:
    plan, say = view.plan, view.say
    size, clear = plan.appliance.collar_diameter, plan.limits.get("connector.clearance")
    words = [f"{say.length(size)} {plan.survey.connector_kind}" if size is not None else f"size {NOT_KNOWN}"]
    if clear is not None and clear.minimum is not None:
        words.append(f"at least {say.least(clear.minimum)} to combustibles")
    return Label(view.at(view.appliance + 0.05, view.collar + 0.06), "Connector", "; ".join(words))
