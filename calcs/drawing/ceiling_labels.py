"""The words of the ceiling plan."""

from __future__ import annotations

from collections.abc import Sequence

from calcs.corner import diagonal_move
from calcs.drawing import inks
from calcs.drawing.ceiling_scene import CeilingScene
from calcs.drawing.marks import Label
from calcs.goods import stock_name
from calcs.routes import THROUGH_WALL
from calcs.routes.words import route_words
from calcs.ways import ways_of


def ceiling_labels(scene: CeilingScene) -> list[Label]:
    """Labels of what the drawing shows.

    Parameters
    ----------
    scene : CeilingScene
        What the drawing shows

    Returns
    -------
    list of Label
        A label for each part, with the point it names
    """
    return [
        *_members(scene),
        *_cuts(scene),
        *_chimney(scene),
        Label(scene.at(scene.measured, scene.along(scene.measured)), _centre(scene), _plumb_words(scene)),
        *_moves(scene),
        *_appliance(scene),
    ]


def ceiling_words(scene: CeilingScene, found: Sequence[Label]) -> str:
    """Drawing in words, for those who do not see it.

    Parameters
    ----------
    scene : CeilingScene
        What the drawing shows
    found : sequence of Label
        Its labels

    Returns
    -------
    str
        Sentences
    """
    survey = scene.plan.survey
    runs = "The appliance stands across a corner; members run" if scene.corner else "Members run"
    lead = f"{runs} {survey.member_direction}, counted from the {ways_of(survey).wall}."
    told = [f"{label.name}: {label.detail}." if label.detail else f"{label.name}." for label in found]
    return " ".join([lead, *told])


def _centre(scene: CeilingScene) -> str:
    return "Thimble's centre" if scene.plan.survey.route == THROUGH_WALL else "Plumb point"


def _members(scene: CeilingScene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, far = scene.opening / 2, scene.near_face + scene.clear
    spacing = plan.survey.member_spacing
    words = "spacing not known" if spacing is None else f"{say.length(spacing)} on centre"
    rule = "; never cut" if plan.survey.member_kind == "truss" else ""
    name = route_words(plan.survey.route, plan.survey.member_kind.capitalize())
    found = [Label(scene.at(far + scene.thickness / 2, -half - 0.1), name, words + rule)]
    if plan.members_cut:
        middle = scene.near_face + scene.clear / 2
        found.append(
            Label(
                scene.at(middle, half + scene.stock + 0.06),
                route_words(plan.survey.route, "Joist cut"),
                "hung on the headers, its neighbours doubled",
            )
        )
    return found


def _cuts(scene: CeilingScene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, far = scene.opening / 2, scene.near_face + scene.clear
    wider = 1 if far - scene.planned >= scene.planned - scene.near_face else -1
    places = {
        "header": (far - 0.05, half + 0.019),
        "block": (scene.planned + wider * (half + 0.015), half * 0.6),
    }
    found = []
    for cut in plan.cut_list:
        words = f"{cut.count} of {say.length(cut.length)}, {stock_name(cut.stock, say.system)}"
        found.append(Label(scene.at(*places[cut.name]), cut.name.capitalize(), words))
    if scene.too_wide:
        words = f"{say.least(scene.opening)} opening, {say.most(scene.clear)} bay"
        place = scene.at(scene.planned - half, half * 0.9)
        found.append(Label(place, "The box does not fit", words, inks.WARNING))
    return found


def _chimney(scene: CeilingScene) -> list[Label]:
    outer, gap = scene.plan.chimney.outer_diameter, scene.plan.chimney.clearance
    if outer is None:
        return []
    words = f"{scene.say.length(outer)} outside"
    if gap is not None:
        words += f", {scene.say.least(gap)} clear all round"
    return [Label(scene.at(scene.planned + outer * 0.3, -outer * 0.3), "Chimney", words)]


def _plumb_words(scene: CeilingScene) -> str:
    plan, say = scene.plan, scene.say
    if plan.plumb_offset is None and scene.planned == scene.measured:
        return "not known; drawn in the middle of the bay"
    wall = "corner wall" if scene.corner else "left wall" if scene.upright else "wall behind"
    place = f"{say.length(scene.measured)} from the {wall}"
    if plan.plumb_offset is None:
        return f"{place}, before the first member"
    middle = route_words(plan.survey.route, "the cut joist") if plan.members_cut else "the bay's centre"
    off = say.length(abs(plan.plumb_offset))
    return f"{place}, on {middle}" if off == say.length(0.0) else f"{place}, {off} off {middle}"


def _moves(scene: CeilingScene) -> list[Label]:
    if scene.by_elbows:
        return _by_elbows(scene)
    found = []
    second = scene.measured if scene.other is None else scene.other.centre
    for begins, centre in (("Move", scene.planned), ("Or", second)):
        move = centre - scene.measured
        if abs(move) > 1e-6:
            place = scene.at(scene.measured + move, scene.along(scene.measured + move))
            found.append(_move(scene, begins, move, place))
    return found


def _move(scene: CeilingScene, begins: str, move: float, place: tuple[float, float]) -> Label:
    ways = ways_of(scene.plan.survey)
    way = ways.near if move < 0 else ways.far
    far = diagonal_move(move) if scene.corner else move
    detail = "along the diagonal" if scene.corner else ""
    return Label(place, f"{begins} {scene.say.least(abs(far))} {way}", detail, inks.WARNING)


def _by_elbows(scene: CeilingScene) -> list[Label]:
    way, ways = scene.plan.elbows, ways_of(scene.plan.survey)
    if way is None or way.offset is None:
        return []
    name = ways.pipe_near if scene.planned < scene.measured else ways.pipe_far
    short = way.height_left is not None and way.height_left < -1e-9
    words = f"two of {way.offset.angle_degrees:g}°, {scene.say.least(way.offset.rise)} high"
    return [
        Label(
            scene.at(scene.planned - scene.opening / 3, scene.opening / 3),
            f"By elbows {scene.say.length(way.offset.run)} {name}",
            f"{words}, below the ceiling{': more than there is' if short else ''}",
            inks.WARNING,
        )
    ]


def _appliance(scene: CeilingScene) -> list[Label]:
    outline = scene.outline() if scene.plan.survey.route != THROUGH_WALL else ()
    if not outline:
        return []
    corner = max((scene.at(*point) for point in outline), key=lambda at: (at[0] + at[1], at[0]))
    below = "across the corner, in the room below" if scene.corner else "in the room below"
    return [Label(corner, "Appliance", below)]
