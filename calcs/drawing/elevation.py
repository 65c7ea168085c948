"""The elevation: a section through room, ceiling, attic and roof, to scale, with its dimensions."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.flue import appliance_at, brace_heights, draw_flue, flashing_top
from calcs.drawing.heights import draw_required_height
from calcs.drawing.house import draw_house
from calcs.drawing.marks import Label, chain, labels, upright
from calcs.drawing.scene import LEFT, RIGHT, TOP, WIDTH, Scene, scene_of
from calcs.drawing.svg import Canvas
from calcs.plan import Plan
from calcs.wording import Wording

_NOT_KNOWN = "not known"


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
    Uphill is on the left. What is not measured is drawn dashed at a likely size and dimensioned
    "not known".

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
    scene = scene_of(plan, say)
    canvas = Canvas(prefix)
    _heading(canvas, scene)
    _extension_lines(canvas, scene)
    draw_house(canvas, scene)
    draw_flue(canvas, scene)
    labels(
        canvas,
        _labels(scene),
        bend=RIGHT - 4,
        left=RIGHT + 26,
        right=WIDTH - 8,
        top=TOP - 12,
        bottom=scene.ground + 24,
    )
    draw_required_height(canvas, scene)
    _section_chain(canvas, scene)
    _building_chain(canvas, scene)
    _overall(canvas, scene)
    _foot(canvas, scene)
    return canvas.document(WIDTH, scene.height, "Section through room, ceiling, attic and roof", _told(scene))


def _heading(canvas: Canvas, scene: Scene) -> None:
    canvas.text((16, 26), "Section through room, ceiling, attic and roof", inks.TITLE, font_weight="700",
                fill=inks.INK)  # fmt: skip
    names = [name for name in (scene.plan.appliance.name, scene.plan.chimney.name) if name]
    canvas.text((16, 44), "  |  ".join(names) or "Appliance and chimney not entered yet", inks.DETAIL,
                fill=inks.SOFT)  # fmt: skip


def _stops(scene: Scene) -> list[tuple[float, str]]:
    """Heights of the building's dimension chain with the figure that ends at each [m]."""
    plan, say = scene.plan, scene.say
    survey = plan.survey

    def figure(known: bool, value: float) -> str:
        return say.dimension(value) if known else _NOT_KNOWN

    framing_known = survey.ceiling_thickness is not None and survey.member_depth is not None
    above = None if plan.outlet is None else plan.outlet - scene.high_side
    return [
        (0.0, ""),
        (scene.ceiling, figure(survey.floor_to_ceiling is not None, scene.ceiling)),
        (scene.framing_top, figure(framing_known, scene.framing_top - scene.ceiling)),
        (
            scene.deck_underside,
            figure(survey.attic_height is not None, scene.deck_underside - scene.framing_top),
        ),
        (scene.high_side, ""),
        (scene.outlet, _NOT_KNOWN if above is None else say.height(above, "down")),
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
        reach=LEFT - 22 - 44,
    )


def _overall(canvas: Canvas, scene: Scene) -> None:
    x, low, high = 22.0, scene.ground, scene.at(0, scene.outlet)[1]
    canvas.line((x, low), (x, high), stroke=inks.INK, stroke_width="1")
    for y in (low, high):
        canvas.line((x - 4, y + 4), (x + 4, y - 4), stroke=inks.INK, stroke_width="1.3")
    words = "floor to outlet " + (
        _NOT_KNOWN if scene.plan.outlet is None else scene.say.height(scene.plan.outlet)
    )
    middle = (low + high) / 2
    canvas.text(
        (x - 6, middle),
        words,
        inks.DETAIL,
        fill=inks.INK,
        text_anchor="middle",
        transform=f"rotate(-90 {x - 6:.1f} {middle:.1f})",
    )


def _section_chain(canvas: Canvas, scene: Scene) -> None:
    sections = scene.plan.sections
    x = scene.centre - scene.opening / 2 * scene.scale - 16
    if sections is None or not sections.pieces:
        return
    heights = [scene.first_joint, *(scene.first_joint + piece.top for piece in sections.pieces)]
    stops = [scene.at(0, height)[1] for height in heights]
    for low, high, piece in zip(stops, stops[1:], sections.pieces, strict=False):
        canvas.line((x, low - 3), (x, high + 3), stroke=inks.SOFT, stroke_width="1")
        canvas.line((x - 3, low - 3), (x + 3, low - 3), stroke=inks.SOFT, stroke_width="1")
        canvas.line((x - 3, high + 3), (x + 3, high + 3), stroke=inks.SOFT, stroke_width="1")
        place = _free_place(high + 3, low - 3, _struck(scene, x - 30))
        canvas.text(
            (x - 7, place + 4),
            scene.say.dimension(piece.length),
            inks.NOTE,
            fill=inks.INK,
            text_anchor="end",
        )


def _struck(scene: Scene, x: float) -> list[tuple[float, float]]:
    """Stretches of paper beside the pipe that lines of the house already take, top and bottom [px]."""
    away = scene.x(x)
    rafter = (scene.plan.survey.rafter_depth or 0.0) * 1.2
    surface = max(scene.roof_at(away), scene.roof_at(away / 2))
    low = min(scene.roof_at(away), scene.roof_at(away / 2)) - (scene.roof - scene.deck_underside) - rafter
    upper = max(scene.framing_top, scene.insulation_top or 0.0)
    taken = [(surface, low), (upper, scene.ceiling)]
    return [(scene.at(0, high)[1] - 4, scene.at(0, bottom)[1] + 4) for high, bottom in taken]


def _free_place(high: float, low: float, taken: list[tuple[float, float]]) -> float:
    """Middle of the longest stretch of paper between two heights that nothing takes [px]."""
    edges = [high]
    for top, bottom in sorted(taken):
        if bottom > high and top < low:
            edges += [max(high, top), min(low, bottom)]
    edges.append(low)
    free = [
        (below - above, (above + below) / 2) for above, below in zip(edges[::2], edges[1::2], strict=True)
    ]
    length, middle = max(free)
    return middle if length >= 12 else (high + low) / 2


def _labels(scene: Scene) -> list[Label]:
    return [*_roof_labels(scene), *_attic_labels(scene), *_room_labels(scene)]


def _roof_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half = scene.outer / 2
    found = [Label(scene.at(half * 0.6, scene.outlet + 0.16), "Cap")]
    termination = plan.termination
    if termination is None:
        found.append(Label(scene.at(half, scene.required), "Height above the roof", _NOT_KNOWN, inks.WARNING))
    else:
        found.append(
            Label(
                (RIGHT - 26, scene.at(0, scene.required)[1]),
                "Outlet at least this high",
                f"{say.height(termination.height_above_penetration, 'up')} above the penetration; "
                f"{termination.governed_by} governs",
                inks.REQUIRED,
            )
        )
    braces = brace_heights(scene)
    if braces:
        sets = "" if len(braces) == 1 else f"{len(braces)} sets"
        found.append(Label(scene.at(half + 0.03, braces[0]), "Brace", sets))
    crown = flashing_top(scene)
    found.append(Label(scene.at(half, crown), "Storm collar", "sealed around its top"))
    reach = scene.opening / 2 + 0.08
    hole = plan.roof_opening
    pitch = _NOT_KNOWN if "rise" in scene.assumed else say.pitch(scene.slope * 12)
    size = "" if hole is None else f"; hole {say.least(hole.across)} x {say.least(hole.along_plumb_cut)}"
    found.append(Label(scene.at(reach, scene.roof_at(reach) + 0.02), "Flashing", f"slope {pitch}{size}"))
    return found


def _attic_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, found = scene.opening / 2, []
    inner, outer = plan.chimney.inner_diameter, plan.chimney.outer_diameter
    if inner is not None and outer is not None:
        gap = plan.chimney.clearance
        detail = f"{say.length(inner)} inside, {say.length(outer)} outside"
        detail += f"; {say.least(gap)} clear all round" if gap is not None else f"; clearance {_NOT_KNOWN}"
    else:
        detail = f"size {_NOT_KNOWN}"
    crown = flashing_top(scene)
    anchor = scene.at(scene.outer / 2 - 0.02, crown + (scene.outlet - crown) * 0.28)
    found.append(Label(anchor, "Chimney", detail))
    if plan.enclosure and plan.shield is not None:
        found.append(
            Label(
                scene.at(half + 0.01, scene.framing_top + plan.shield.height_low * 0.5),
                "Enclosure, full height",
                f"{say.length(plan.shield.height_low)} low side, {say.length(plan.shield.height_high)} high "
                "side; the shield does not fit",
            )
        )
    elif plan.attic_protection == "shield" and plan.chimney.shield_height is not None:
        found.append(
            Label(
                scene.at(half, scene.framing_top + plan.chimney.shield_height * 0.7),
                "Attic insulation shield",
                f"{say.length(plan.chimney.shield_height)} high; never cut down",
            )
        )
    else:
        found.append(
            Label(scene.at(half, scene.framing_top + 0.06), "Shield or enclosure", _NOT_KNOWN, inks.WARNING)
        )
    found += _ceiling_labels(scene)
    return found


def _ceiling_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, found = scene.opening / 2, []
    depth = plan.survey.insulation_depth
    if depth is not None and depth > 0 and scene.insulation_top is not None:
        x = min(half + 0.3, scene.eave - 0.1)
        above = max(scene.framing_top, scene.framing_bottom + depth * 0.5)
        found.append(
            Label(scene.at(x, min(above, scene.insulation_top)), "Insulation", f"{say.length(depth)} deep")
        )
    if plan.opening is None:
        detail = f"opening {_NOT_KNOWN}"
    else:
        detail = f"{say.least(plan.opening)} square opening"
        if plan.bay_clear is not None:
            detail += f" in a {say.length(plan.bay_clear)} bay"
    thick = plan.survey.member_thickness or 0.038
    found.append(
        Label(
            scene.at(half + thick * 0.5, (scene.framing_bottom + scene.framing_top) / 2),
            "Ceiling framing",
            detail,
        )
    )
    projection = plan.chimney.support_projection
    found.append(
        Label(
            scene.at(half * 0.7, (scene.ceiling + scene.first_joint) / 2),
            "Ceiling support",
            f"hangs {say.length(projection)} below the ceiling" if projection is not None else _NOT_KNOWN,
        )
    )
    return found


def _room_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    run = appliance_at(scene)
    size = plan.appliance.collar_diameter
    clear = plan.limits.get("connector.clearance")
    parts = [f"{say.length(size)} {plan.survey.connector_kind}" if size is not None else f"size {_NOT_KNOWN}"]
    if clear is not None and clear.minimum is not None:
        parts.append(f"at least {say.least(clear.minimum)} to combustibles")
    low = 0.3 if run > 0 else 0.35
    connector = Label(
        scene.at(run + scene.connector / 2 - 0.02, scene.collar + (scene.first_joint - scene.collar) * low),
        "Connector",
        "; ".join(parts),
    )
    needs = []
    for side, word in (("rear", "behind"), ("left", "at the sides"), ("front", "in front")):
        limit = plan.limits.get(f"appliance.clearance.{side}")
        if limit is not None and limit.minimum is not None:
            needs.append(f"{say.least(limit.minimum)} {word}")
    appliance = Label(
        scene.at(run + 0.28, scene.collar * 0.55),
        plan.appliance.name or "Appliance",
        f"clear: {', '.join(needs)}" if needs else f"clearances {_NOT_KNOWN}",
    )
    return [connector, appliance]


def _foot(canvas: Canvas, scene: Scene) -> None:
    x = scene.at(appliance_at(scene) - 0.31, 0)[0] - 40
    collar = scene.plan.appliance.collar_height
    upright(
        canvas,
        x,
        scene.ground,
        scene.at(0, scene.collar)[1],
        _NOT_KNOWN if collar is None else scene.say.dimension(collar),
    )
    y = scene.ground + 48
    _scale_bar(canvas, scene, y)
    note = "Uphill is on the left. Seen from the side; framing cut through at the opening."
    if scene.assumed:
        note = "Uphill is on the left. Parts marked not known are drawn at a likely size, not to scale."
    canvas.text((LEFT + 150, y + 4), note, inks.NOTE, fill=inks.SOFT)


def _scale_bar(canvas: Canvas, scene: Scene, y: float) -> None:
    if scene.say.system == "imperial":
        step, words = 0.3048, ["0", "1", "2", "3 ft"]
    else:
        step, words = 0.5, ["0", "0.5", "1 m"]
    for index, word in enumerate(words):
        x = 22 + index * step * scene.scale
        if index:
            fill = inks.INK if index % 2 else inks.PAPER
            canvas.rect(
                x - step * scene.scale, y, step * scene.scale, 5, fill=fill, stroke=inks.INK, stroke_width="1"
            )
        canvas.text((x, y + 18), word, inks.NOTE, fill=inks.SOFT, text_anchor="middle")


def _told(scene: Scene) -> str:
    """Describe the drawing for those who do not see it."""
    figures = {
        "Floor to ceiling": scene.plan.survey.floor_to_ceiling,
        "Attic height at the flue": scene.plan.survey.attic_height,
        "Floor to outlet": scene.plan.outlet,
    }
    parts = [
        f"{name} {_NOT_KNOWN if value is None else scene.say.dimension(value)}."
        for name, value in figures.items()
    ]
    named = [f"{label.name}: {label.detail}." for label in _labels(scene) if label.detail]
    return " ".join(["Seen from the side, uphill on the left.", *parts, *named])
