"""The elevation: a section through room, ceiling, attic and roof, to scale, with its dimensions."""

from __future__ import annotations

from dataclasses import replace

from calcs.drawing import inks
from calcs.drawing.figures import overall_height, scale_bar
from calcs.drawing.flue import appliance_at, draw_flue
from calcs.drawing.heights import chain_at, draw_required_height, planned_words
from calcs.drawing.house import draw_house
from calcs.drawing.liner_elevation import liner_elevation_svg
from calcs.drawing.marks import chain, column_height, labels, upright
from calcs.drawing.part_labels import NOT_KNOWN, labels_of
from calcs.drawing.scene import LEFT, RIGHT, TOP, WIDTH, Scene, scene_of
from calcs.drawing.svg import Canvas, shortened
from calcs.drawing.vault import draw_vault
from calcs.drawing.wall_elevation import wall_elevation_svg
from calcs.plan import Plan
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL
from calcs.wording import Wording

LABELS_LEFT, LABELS_RIGHT = RIGHT + 26, WIDTH - 8
LABELS_TOP, LABELS_BELOW_FLOOR = TOP - 12, 24.0
_HEADING_LETTERS = 120


def elevation_svg(plan: Plan, system: str | None = None, *, prefix: str = "elevation") -> str:
    """Draw the section through the house with the planned chimney.

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
    Uphill is on the left; beside a wall or masonry the room is. What is not measured is drawn dashed at a
    likely size and dimensioned "not known".

    Examples
    --------
    >>> from calcs.plan import make_plan
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> elevation_svg(plan).startswith('<svg xmlns="http://www.w3.org/2000/svg"')
    True
    """
    say = Wording(system or plan.system)
    if plan.survey.route == LINED_CHIMNEY:
        return liner_elevation_svg(plan, say, prefix)
    if plan.survey.route == THROUGH_WALL:
        return wall_elevation_svg(plan, say, prefix)
    scene = _with_room_for_labels(scene_of(plan, say))
    canvas = Canvas(prefix)
    _heading(canvas, scene)
    _extension_lines(canvas, scene)
    if scene.vaulted:
        draw_vault(canvas, scene)
    else:
        draw_house(canvas, scene)
    draw_flue(canvas, scene)
    labels(
        canvas,
        labels_of(scene),
        bend=RIGHT - 4,
        left=LABELS_LEFT,
        right=LABELS_RIGHT,
        top=LABELS_TOP,
        bottom=scene.ground + LABELS_BELOW_FLOOR,
    )
    draw_required_height(canvas, scene)
    _section_chain(canvas, scene)
    _building_chain(canvas, scene)
    overall_height(canvas, scene.ground, scene.at(0, scene.outlet)[1], scene.plan.outlet, scene.say)
    _foot(canvas, scene)
    return canvas.document(WIDTH, scene.height, _title(scene), _told(scene))


def _title(scene: Scene) -> str:
    passed = "vaulted ceiling" if scene.vaulted else "ceiling, attic"
    return f"Section through room, {passed} and roof"


def _with_room_for_labels(scene: Scene) -> Scene:
    """Lower a house that is not tall enough for the column of labels beside it."""
    needed = column_height(labels_of(scene), LABELS_RIGHT - LABELS_LEFT)
    room = scene.ground + LABELS_BELOW_FLOOR - LABELS_TOP
    return replace(scene, ground=scene.ground + needed - room) if needed > room else scene


def _heading(canvas: Canvas, scene: Scene) -> None:
    canvas.text((16, 26), _title(scene), inks.TITLE, font_weight="700", fill=inks.INK)
    names = [name for name in (scene.plan.appliance.name, scene.plan.chimney.name) if name]
    told = shortened("  |  ".join(names), _HEADING_LETTERS) or "Appliance and chimney not entered yet"
    canvas.text((16, 44), told, inks.DETAIL, fill=inks.SOFT)


def _stops(scene: Scene) -> list[tuple[float, str]]:
    """Heights of the building's dimension chain with the figure that ends at each [m]."""
    plan, say = scene.plan, scene.say
    survey = plan.survey

    def figure(known: bool, value: float) -> str:
        return say.dimension(value) if known else NOT_KNOWN

    framing_known = survey.ceiling_thickness is not None and survey.member_depth is not None
    if scene.vaulted:
        return [
            (0.0, ""),
            (scene.ceiling, figure(survey.floor_to_ceiling is not None, scene.ceiling)),
            (scene.deck_underside, figure(framing_known, scene.deck_underside - scene.ceiling)),
            (scene.high_side, ""),
            (scene.outlet, planned_words(scene) or NOT_KNOWN),
        ]
    return [
        (0.0, ""),
        (scene.ceiling, figure(survey.floor_to_ceiling is not None, scene.ceiling)),
        (scene.framing_top, figure(framing_known, scene.framing_top - scene.ceiling)),
        (
            scene.deck_underside,
            figure(survey.attic_height is not None, scene.deck_underside - scene.framing_top),
        ),
        (scene.high_side, ""),
        (scene.outlet, planned_words(scene) or NOT_KNOWN),
    ]


def _extension_lines(canvas: Canvas, scene: Scene) -> None:
    for height, _ in _stops(scene)[1:]:
        y = scene.at(0, height)[1]
        canvas.line(
            (LEFT - 30, y),
            (scene.centre - 8, y),
            stroke=inks.FAINT,
            stroke_width="0.8",
            stroke_dasharray="2 3",
        )


def _building_chain(canvas: Canvas, scene: Scene) -> None:
    stops = _stops(scene)
    chain(
        canvas,
        LEFT - 22,
        [scene.at(0, height)[1] for height, _ in stops],
        [figure for _, figure in stops[1:]],
        reach=LEFT - 22 - 38,
    )


def _section_chain(canvas: Canvas, scene: Scene) -> None:
    sections = scene.plan.sections
    x = chain_at(scene)
    if sections is None or not sections.pieces:
        return
    heights = [scene.first_joint, *(scene.first_joint + piece.top for piece in sections.pieces)]
    stops = [scene.at(0, height)[1] for height in heights]
    for low, high, piece in zip(stops, stops[1:], sections.pieces, strict=False):
        canvas.line((x, low - 3), (x, high + 3), stroke=inks.SOFT, stroke_width="1")
        canvas.line((x - 3, low - 3), (x + 3, low - 3), stroke=inks.SOFT, stroke_width="1")
        canvas.line((x - 3, high + 3), (x + 3, high + 3), stroke=inks.SOFT, stroke_width="1")
        middle, clear = _free_place(high + 3, low - 3, _struck(scene, x - 30))
        write = canvas.end_text if clear else canvas.side_text
        write((x - 7, middle), scene.say.dimension(piece.length), inks.NOTE, fill=inks.INK)


def _struck(scene: Scene, x: float) -> list[tuple[float, float]]:
    """Stretches of paper beside the pipe that lines of the house already take, top and bottom [px]."""
    away = scene.x(x)
    rafter = (scene.plan.survey.rafter_depth or 0.0) * 1.2
    surface = max(scene.roof_at(away), scene.roof_at(away / 2))
    low = min(scene.roof_at(away), scene.roof_at(away / 2)) - (scene.roof - scene.deck_underside) - rafter
    upper = max(scene.framing_top, scene.insulation_top or 0.0)
    taken = [(surface, low), (upper, scene.ceiling)]
    return [(scene.at(0, high)[1] - 4, scene.at(0, bottom)[1] + 4) for high, bottom in taken]


def _free_place(high: float, low: float, taken: list[tuple[float, float]]) -> tuple[float, bool]:
    """Middle of the longest stretch between two heights that nothing takes, or of all when none is free."""
    edges = [high]
    for top, bottom in sorted(taken):
        if bottom > high and top < low:
            edges += [max(high, top), min(low, bottom)]
    edges.append(low)
    free = [
        (below - above, (above + below) / 2) for above, below in zip(edges[::2], edges[1::2], strict=True)
    ]
    length, middle = max(free)
    return (middle, True) if length >= 12 else ((high + low) / 2, False)


def _foot(canvas: Canvas, scene: Scene) -> None:
    x = scene.at(appliance_at(scene) - 0.31, 0)[0] - 40
    collar = scene.plan.appliance.collar_height
    upright(
        canvas,
        x,
        scene.ground,
        scene.at(0, scene.collar)[1],
        NOT_KNOWN if collar is None else scene.say.dimension(collar),
    )
    y = scene.ground + 48
    scale_bar(canvas, y, scene.scale, scene.say.system)
    note = "Seen from the side; framing cut through at the opening."
    if scene.assumed:
        note = "Parts marked not known are drawn at a likely size, not to scale."
    elif scene.hip is not None:
        note = "The ridge lies beside this section, cut through the opening."
    if scene.slope > 0:
        note = f"Uphill is on the left. {note}"
    canvas.text((LEFT + 150, y + 4), note, inks.NOTE, fill=inks.SOFT)


def _told(scene: Scene) -> str:
    """Describe the drawing for those who do not see it."""
    attic = {} if scene.vaulted else {"Attic height at the flue": scene.plan.survey.attic_height}
    figures = {
        "Floor to ceiling": scene.plan.survey.floor_to_ceiling,
        **attic,
        "Floor to outlet": scene.plan.outlet,
    }
    parts = [
        f"{name} {NOT_KNOWN if value is None else scene.say.dimension(value)}."
        for name, value in figures.items()
    ]
    named = [f"{label.name}: {label.detail}." for label in labels_of(scene) if label.detail]
    return " ".join(["Seen from the side, uphill on the left if the roof slopes.", *parts, *named])
