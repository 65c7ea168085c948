"""What is installed, in the elevation: from the hearth to the cap."""

from __future__ import annotations

from collections.abc import Callable

from calcs.drawing import inks
from calcs.drawing.scene import Scene
from calcs.drawing.svg import Canvas, Point
from calcs.drawing.vault import draw_box

BODY_HALF = 0.31
LEGS = 0.14
PLATE = 0.15
#: A longer level run is drawn at this length [m].
LONGEST_RUN = 0.7


def draw_flue(canvas: Canvas, scene: Scene) -> None:
    """Draw appliance, connector, support, guard, chimney, flashing, brace and cap."""
    if scene.vaulted:
        draw_box(canvas, scene)
    else:
        _guard(canvas, scene)
        _support(canvas, scene)
    _connector(canvas, scene)
    draw_appliance(canvas, scene.at, appliance_at(scene), scene.collar, scene.ground)
    _chimney(canvas, scene)
    _flashing(canvas, scene)
    _brace(canvas, scene)
    _cap(canvas, scene)


def appliance_at(scene: Scene) -> float:
    """Distance of the appliance's collar from the flue's centre line [m], away from a near eave."""
    run = min(scene.plan.survey.connector_run or 0.0, LONGEST_RUN)
    return run if scene.eave > 2 * BODY_HALF + LONGEST_RUN else -run


def draw_appliance(
    canvas: Canvas, at: Callable[[float, float], Point], x: float, collar: float, ground: float
) -> None:
    """Draw the appliance on its hearth.

    Parameters
    ----------
    canvas : Canvas
        What is drawn on [px]
    at : callable
        Place on paper of a point in the house [m, px]
    x : float
        Where its collar stands [m]
    collar : float
        Height of its collar [m]
    ground : float
        The floor on paper [px]
    """
    left, top = at(x - BODY_HALF, collar)
    right, legs = at(x + BODY_HALF, LEGS)
    base = ground
    hearth_left, _ = at(x - BODY_HALF - 0.22, 0)
    hearth_right, _ = at(x + BODY_HALF + 0.22, 0)
    canvas.rect(
        hearth_left,
        base - 5,
        hearth_right - hearth_left,
        5,
        fill=inks.STEEL,
        stroke=inks.INK,
        stroke_width="1",
    )
    for foot in (left + 8, right - 14):
        canvas.rect(foot, legs, 6, base - 5 - legs, fill=inks.IRON)
    canvas.rect(
        left, top, right - left, legs - top, rx="5", fill=inks.IRON, stroke=inks.INK, stroke_width="1.4"
    )
    canvas.rect(left - 3, top - 3, right - left + 6, 6, rx="2", fill=inks.INK)
    inset_x, inset_y = (right - left) * 0.16, (legs - top) * 0.2
    door = (left + inset_x, top + inset_y, right - left - 2 * inset_x, legs - top - 1.9 * inset_y)
    canvas.rect(*door, rx="4", fill="#2f3942", stroke=inks.LINE, stroke_width="1")
    _flame(canvas, door[0] + door[2] / 2, door[1] + door[3] * 0.86, door[3] * 0.62)


def _flame(canvas: Canvas, x: float, base: float, tall: float) -> None:
    w = tall * 0.42
    canvas.path(
        f"M{x:.1f} {base:.1f}C{x - w:.1f} {base:.1f} {x - w:.1f} {base - tall * 0.45:.1f} "
        f"{x - w * 0.15:.1f} {base - tall:.1f}C{x:.1f} {base - tall * 0.6:.1f} {x + w * 0.95:.1f} "
        f"{base - tall * 0.55:.1f} {x + w * 0.8:.1f} {base - tall * 0.2:.1f}"
        f"C{x + w * 0.7:.1f} {base:.1f} {x + w * 0.3:.1f} {base:.1f} {x:.1f} {base:.1f}Z",
        fill=inks.GLOW,
    )


def _connector(canvas: Canvas, scene: Scene) -> None:
    run = appliance_at(scene)
    wide = max(6.0, scene.connector * scene.scale)
    start, end = scene.at(run, scene.collar), scene.at(0, scene.first_joint)
    if run == 0:
        _pipe(canvas, [start, end], wide)
        middle = (start[1] + end[1]) / 2
        canvas.line(
            (start[0] - wide / 2 - 1, middle),
            (start[0] + wide / 2 + 1, middle),
            stroke=inks.INK,
            stroke_width="2",
        )
        return
    level = scene.collar + (scene.first_joint - scene.collar) * 0.55
    _pipe(canvas, [start, scene.at(run, level - 0.02), scene.at(0, level + 0.02), end], wide)


def _pipe(canvas: Canvas, points: list[tuple[float, float]], wide: float) -> None:
    canvas.polyline(points, stroke=inks.INK, stroke_width=wide, stroke_linejoin="round")
    canvas.polyline(points, stroke="#6c7780", stroke_width=wide - 2.6, stroke_linejoin="round")


def _support(canvas: Canvas, scene: Scene) -> None:
    size = scene.plan.chimney.support_size or scene.opening
    left, top = scene.at(-size / 2, scene.framing_top)
    right, bottom = scene.at(size / 2, scene.first_joint)
    canvas.rect(
        left + 1, top, right - left - 2, bottom - top, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.6"
    )
    trim = scene.at(0, scene.ceiling)[1]
    canvas.rect(left - 9, trim, right - left + 18, 4, fill=inks.INK)


def _guard(canvas: Canvas, scene: Scene) -> None:
    """Shield, enclosure, or a dashed outline while neither is known."""
    half, plan = scene.opening / 2, scene.plan
    if plan.enclosure:
        thick = max(plan.enclosure[0].thickness, 4.0 / scene.scale)
        for inside, outside in ((-half, -half - thick), (half, half + thick)):
            points = [scene.at(inside, scene.framing_top), scene.at(outside, scene.framing_top)]
            points += [scene.at(x, _underside(scene, x)) for x in (outside, inside)]
            canvas.polygon(points, fill=inks.WOOD, stroke=inks.WOOD_LINE, stroke_width="1.3")
        return
    tall = plan.chimney.shield_height
    if plan.attic_protection != "shield" or tall is None:
        tall = min(0.38, max(0.1, _underside(scene, half) - scene.framing_top))
    dash = None if plan.attic_protection == "shield" else "5 4"
    for x in (-half, half):
        canvas.line(
            scene.at(x, scene.framing_top),
            scene.at(x, scene.framing_top + tall),
            stroke=inks.INK,
            stroke_width="2.6",
            stroke_dasharray=dash,
        )
    if dash is None:
        for x, inner in ((-half, -scene.outer / 2), (half, scene.outer / 2)):
            canvas.line(
                scene.at(x, scene.framing_top + tall),
                scene.at(inner, scene.framing_top + tall + 0.03),
                stroke=inks.INK,
                stroke_width="1.6",
            )


def _underside(scene: Scene, x: float) -> float:
    return scene.roof_at(x) - (scene.roof - scene.deck_underside)


def _chimney(canvas: Canvas, scene: Scene) -> None:
    half = scene.outer / 2
    left, top = scene.at(-half, scene.outlet)
    right, bottom = scene.at(half, scene.first_joint)
    dash = None if scene.plan.sections and scene.plan.sections.pieces else "7 4"
    canvas.rect(
        left, top, right - left, bottom - top, fill=inks.PAPER, stroke=inks.INK, stroke_width="1.8",
        stroke_dasharray=dash,
    )  # fmt: skip
    for x in (-scene.inner / 2, scene.inner / 2):
        canvas.line(
            scene.at(x, scene.outlet),
            scene.at(x, scene.first_joint),
            stroke=inks.LINE,
            stroke_dasharray="4 3",
        )
    if scene.plan.sections:
        for joint in scene.plan.sections.joints:
            y = scene.at(0, scene.first_joint + joint)[1]
            canvas.rect(left - 1.5, y - 2, right - left + 3, 4, fill=inks.INK)


def flashing_top(scene: Scene) -> float:
    """Height at which the flashing's cone meets the pipe [m]."""
    return min(scene.high_side + 0.16, (scene.high_side + scene.outlet) / 2)


def _flashing(canvas: Canvas, scene: Scene) -> None:
    half, pipe = scene.opening / 2, scene.outer / 2
    reach = half + PLATE
    low, high = scene.at(reach, scene.roof_at(reach)), scene.at(-reach, scene.roof_at(-reach))
    crown = flashing_top(scene)
    cone = [
        scene.at(half, scene.roof_at(half)),
        scene.at(pipe, crown),
        scene.at(-pipe, crown),
        scene.at(-half, scene.roof_at(-half)),
    ]
    canvas.polygon(cone, fill=inks.STEEL, stroke=inks.INK, stroke_width="1.6", stroke_linejoin="round")
    plate = [low, cone[0]], [cone[3], high]
    for start, end in plate:
        canvas.line((start[0], start[1] - 2.4), (end[0], end[1] - 2.4), stroke=inks.SOFT, stroke_width="3.4")
    skirt, neck = pipe + 0.05, crown - 0.03
    collar = [
        scene.at(-skirt, neck),
        scene.at(skirt, neck),
        scene.at(pipe, crown + 0.03),
        scene.at(-pipe, crown + 0.03),
    ]
    canvas.polygon(collar, fill=inks.IRON, stroke=inks.INK, stroke_width="1.2", stroke_linejoin="round")


def brace_heights(scene: Scene) -> list[float]:
    """Heights at which braces hold the chimney, from below [m]."""
    plan = scene.plan
    if plan.sections is None or not plan.sections.braces or plan.termination is None:
        return []
    step = plan.termination.brace_threshold or 1.5
    return [
        min(scene.high_side + number * step, scene.outlet - 0.15)
        for number in range(1, plan.sections.braces + 1)
    ]


def _brace(canvas: Canvas, scene: Scene) -> None:
    heights = brace_heights(scene)
    for number, z in enumerate(heights):
        reach = 0.3 + (heights[0] - scene.roof) * 0.42 + number * 0.12
        foot = scene.at(reach, scene.roof_at(reach))
        band = scene.at(scene.outer / 2, z)
        canvas.line(band, foot, stroke=inks.INK, stroke_width="2.4")
        canvas.circle(foot, 3.2, fill=inks.INK)
        left = scene.at(-scene.outer / 2, z)[0]
        canvas.rect(left - 2, band[1] - 2.5, band[0] - left + 4, 5, fill=inks.INK)


def _cap(canvas: Canvas, scene: Scene) -> None:
    half = scene.outer / 2
    z = scene.outlet
    for x in (-half * 0.8, half * 0.8):
        canvas.line(scene.at(x, z), scene.at(x, z + 0.12), stroke=inks.INK, stroke_width="1.8")
    canvas.polygon(
        [scene.at(-half - 0.05, z + 0.12), scene.at(half + 0.05, z + 0.12), scene.at(0, z + 0.22)],
        fill=inks.IRON,
        stroke=inks.INK,
        stroke_width="1.2",
        stroke_linejoin="round",
    )
