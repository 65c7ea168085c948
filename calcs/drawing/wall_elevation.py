"""The elevation of a chimney through the wall: a section through room, wall and eaves, to scale."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from calcs.drawing import inks
from calcs.drawing.figures import appliance_clearances, overall_height, scale_bar
from calcs.drawing.marks import Label, chain, column_height, labels, upright
from calcs.drawing.scene import LEFT, RIGHT, TOP, WIDTH
from calcs.drawing.svg import Canvas, shortened
from calcs.drawing.wall_house import draw_installed, draw_wall_house
from calcs.drawing.wall_scene import TEE_DROP, WallScene, wall_scene
from calcs.plan import Plan
from calcs.wording import Wording

NOT_KNOWN = "not known"
TITLE = "Section through room, wall and eaves"
_LABELS_LEFT, _LABELS_RIGHT, _LABELS_TOP = RIGHT + 26, WIDTH - 8, TOP - 12


def wall_elevation_svg(plan: Plan, say: Wording, prefix: str) -> str:
    """Draw the section through the wall with the planned chimney outdoors.

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
    view = wall_scene(plan, say)
    found = wall_labels(view)
    needed = column_height(found, _LABELS_RIGHT - _LABELS_LEFT) - (view.ground + 24 - _LABELS_TOP)
    if needed > 0:
        view = replace(view, ground=view.ground + needed)
        found = wall_labels(view)
    canvas = Canvas(prefix)
    canvas.text((16, 26), TITLE, inks.TITLE, font_weight="700", fill=inks.INK)
    names = [name for name in (plan.appliance.name, plan.chimney.name) if name]
    told = shortened("  |  ".join(names), 120) or "Appliance and chimney not entered yet"
    canvas.text((16, 44), told, inks.DETAIL, fill=inks.SOFT)
    for height, _ in _stops(view)[1:]:
        y = view.at(0, height)[1]
        canvas.line((LEFT - 30, y), (view.at(view.tee, 0)[0], y), stroke=inks.FAINT, stroke_width="0.8",
                    stroke_dasharray="2 3")  # fmt: skip
    draw_wall_house(canvas, view)
    draw_installed(canvas, view)
    labels(canvas, found, bend=RIGHT - 4, left=_LABELS_LEFT, right=_LABELS_RIGHT, top=_LABELS_TOP,
           bottom=view.ground + 24)  # fmt: skip
    _required(canvas, view)
    _dimensions(canvas, view)
    note = "Parts marked not known are drawn at a likely size, not to scale." if view.assumed else (
        "Seen from the side, the room on the left; the ground outside was not measured."
    )  # fmt: skip
    y = view.height - 26
    scale_bar(canvas, y, view.scale, say.system)
    canvas.text((LEFT + 150, y + 4), note, inks.NOTE, fill=inks.SOFT)
    parts = [f"{one.name}: {one.detail}." for one in found if one.detail]
    return canvas.document(WIDTH, view.height, TITLE, " ".join(["The room is on the left.", *parts]))


def _stops(view: WallScene) -> list[tuple[float, str]]:
    """Heights of the dimension chain with the figure that ends at each [m]."""
    survey, say = view.plan.survey, view.say

    def figure(value: float, *known: float | None) -> str:
        return NOT_KNOWN if None in known else say.dimension(value)

    outlet = view.plan.outlet
    return [
        (0.0, ""),
        (view.thimble, figure(view.thimble, survey.thimble_height)),
        (view.soffit, figure(view.soffit - view.thimble, survey.thimble_height, survey.soffit_height)),
        (view.edge, figure(view.edge - view.soffit, survey.soffit_height, survey.roof_edge_height)),
        (view.outlet, figure(view.outlet - view.edge, outlet, survey.roof_edge_height)),
    ]  # fmt: skip


def _dimensions(canvas: Canvas, view: WallScene) -> None:
    stops = _stops(view)
    if all(low[0] < high[0] for low, high in pairwise(stops)):
        places, figures = [view.at(0, height)[1] for height, _ in stops], [words for _, words in stops[1:]]
        chain(canvas, LEFT - 22, places, figures, reach=LEFT - 60)
    overall_height(canvas, view.ground, view.at(0, view.outlet)[1], view.plan.outlet, view.say)
    collar = view.plan.appliance.collar_height
    upright(canvas, view.at(view.appliance - 0.31, 0)[0] - 26, view.ground, view.at(0, view.collar)[1],
            NOT_KNOWN if collar is None else view.say.dimension(collar))  # fmt: skip
    sections = view.plan.sections
    for piece in sections.pieces if sections is not None else ():
        low, high = view.first_joint + piece.bottom, view.first_joint + piece.top
        x = view.at(max(view.flue_at(low), view.flue_at(high)) + view.outer / 2, 0)[0] + 14
        bottom, top = view.at(0, low)[1] - 3, view.at(0, high)[1] + 3
        canvas.line((x, bottom), (x, top), stroke=inks.SOFT, stroke_width="1")
        for y in (bottom, top):
            canvas.line((x - 3, y), (x + 3, y), stroke=inks.SOFT, stroke_width="1")
        canvas.text(
            (x + 6, (bottom + top) / 2 + 4), view.say.dimension(piece.length), inks.NOTE, fill=inks.INK
        )


def _required(canvas: Canvas, view: WallScene) -> None:
    """The line the outlet has to reach, and its height over the roof's edge."""
    limit = view.plan.limits.get("termination.above_edge")
    if limit is None or limit.minimum is None:
        return
    y, half = view.at(0, view.required)[1], view.outer / 2
    centre = view.flue_at(view.required)
    canvas.line((view.at(centre - half, 0)[0] - 60, y), (RIGHT, y), stroke=inks.REQUIRED, stroke_width="1.8",
                stroke_dasharray="9 4")  # fmt: skip
    x, base = view.at(centre - half, 0)[0] - 46, view.at(0, view.edge)[1]
    upright(canvas, x, base, y, view.say.dimension(limit.minimum, "up"), ink=inks.REQUIRED, side="on")


def wall_labels(view: WallScene) -> list[Label]:
    """Names and figures of the parts, from the cap down.

    Parameters
    ----------
    view : WallScene
        The scene

    Returns
    -------
    list of Label
        A label for each part, with the point it names
    """
    plan, say = view.plan, view.say
    half, chimney, survey = view.outer / 2, plan.chimney, plan.survey
    limit, found = plan.limits.get("termination.above_edge"), plan.termination
    outlet_words, ink = NOT_KNOWN, inks.WARNING
    if limit is not None and limit.minimum is not None and found is not None:
        outlet_words = (
            f"{say.dimension(limit.minimum, 'up')} above the roof's edge; {found.governed_by} governs"
        )
        ink = inks.REQUIRED
    size = f"size {NOT_KNOWN}"
    if chimney.inner_diameter is not None and chimney.outer_diameter is not None:
        size = f"{say.length(chimney.inner_diameter)} inside, {say.length(chimney.outer_diameter)} outside"
    off = plan.limits.get("wall.standoff")
    stands = (
        f"; {say.length(off.minimum)} off the wall" if off is not None and off.minimum is not None else ""
    )
    top = view.flue_at(view.outlet)
    items = [
        Label(view.at(top + half * 0.6, view.outlet + 0.16), "Cap"),
        Label((RIGHT - 26, view.at(0, view.required)[1]), "Outlet at least this high", outlet_words, ink),
        Label(view.at(top + half - 0.02, view.outlet - 0.25), "Chimney", f"{size}{stands}"),
        Label(view.at(view.overhang - 0.02, (view.soffit + view.edge) / 2), "Eaves", _eaves(view)),
    ]
    if plan.brackets and chimney.bracket_spacing is not None:
        z = plan.brackets[-1]
        spaced = f"{len(plan.brackets)}, at most {say.most(chimney.bracket_spacing)} apart"
        items.append(Label(view.at(view.flue_at(z) + half, z), "Wall brackets", spaced))
    inside = say.least(chimney.thimble_projection) if chimney.thimble_projection is not None else NOT_KNOWN
    opening = say.least(plan.opening) if plan.opening is not None else NOT_KNOWN
    wall = say.length(survey.wall_thickness) if survey.wall_thickness is not None else NOT_KNOWN
    items += [
        Label(view.at(-view.wall / 2, view.thimble + view.opening / 2 - 0.02), "Thimble",
              f"{opening} opening in a wall of {wall}; chimney {inside} into the room"),
        Label(view.at(view.tee + half, view.thimble), "Tee with cleanout",
              "on the wall support" if chimney.wall_supported_height is None else
              f"on the wall support, which carries {say.height(chimney.wall_supported_height, 'down')}"),
        _connector_label(view),
    ]  # fmt: skip
    needs = appliance_clearances(plan, say)
    items.append(
        Label(
            view.at(view.appliance + 0.28, view.collar * 0.55), plan.appliance.name or "Appliance",
            f"clear: {', '.join(needs)}" if needs else f"clearances {NOT_KNOWN}",
        )
    )  # fmt: skip
    return items


def _connector_label(view: WallScene) -> Label:
    plan, say = view.plan, view.say
    size, clear = plan.appliance.collar_diameter, plan.limits.get("connector.clearance")
    words = [f"{say.length(size)} {plan.survey.connector_kind}" if size is not None else f"size {NOT_KNOWN}"]
    if clear is not None and clear.minimum is not None:
        words.append(f"at least {say.least(clear.minimum)} to combustibles")
    z = (view.collar + view.thimble - TEE_DROP) / 2
    return Label(view.at(view.appliance + view.connector / 2 - 0.02, z), "Connector", "; ".join(words))


def _eaves(view: WallScene) -> str:
    survey, say = view.plan.survey, view.say
    if survey.eaves_overhang is None:
        return f"overhang {NOT_KNOWN}"
    way = {"straight": "passed straight", "offset": "passed by an offset", "through": "passed through"}
    told = way.get(survey.eaves_way, f"way past them {NOT_KNOWN}")
    return f"{say.length(survey.eaves_overhang)} beyond the wall; {told}"
