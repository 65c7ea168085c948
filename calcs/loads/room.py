"""What protects walls and floor, and what hangs in the room."""

from __future__ import annotations

import math

from calcs.checks import Limit
from calcs.clearance import protections
from calcs.connector_clearance import connector_protections
from calcs.goods import HEARTH_BOARD, WALL_SHEET, goods_name
from calcs.hearth import AIR
from calcs.loads.item import SPARE_MATERIAL, LoadItem
from calcs.survey import HearthLayer
from calcs.wording import Wording
from calcs.workings import Workings

#: Spacers behind a protection: no further apart than this both ways. Common practice, from memory.
SPACER_SPACING = 0.6096
#: Face of a brick with its joints, and its height. Common practice, from memory.
_BRICK_FACE = 8 * 4 * 0.0254**2
_BRICK_HEIGHT = 2.25 * 0.0254
_SIDES = {
    "both": (2, "for both side walls"),
    "left": (1, "for the wall on the left"),
    "right": (1, "for the wall on the right"),
}


def walls(workings: Workings, say: Wording, limits: dict[str, Limit]) -> list[LoadItem]:
    """Wall protections that the clearances of this plan count on, with their spacers.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in
    limits : dict of str to Limit
        Limits of the plan; one whose clearance a protection shortens counts on it

    Returns
    -------
    list of LoadItem
        Protections and spacers
    """
    survey, appliance = workings.survey, workings.appliance
    if not (survey.rear_protection or survey.side_protection or survey.connector_protection):
        return []
    names = {one.key: one.name for one in protections(workings.rulebook)}
    found = [(survey.rear_protection, 1, appliance.width, "for the wall behind the appliance")]
    if survey.protected_sides:
        count, place = _SIDES[survey.protected_sides]
        found.append((survey.side_protection, count, appliance.depth, place))
    items = []
    for key, count, along, place in found:
        if key in names:
            items += _protection(workings, say, limits, (key, names[key], count, along, place))
    pipes = {one.key: one.name for one in connector_protections(workings.rulebook)}
    if survey.connector_protection in pipes:
        named = f"connector protection: {pipes[survey.connector_protection]}"
        items.append(LoadItem(named, 1, "set", "between the connector and the wall, on spacers"))
    return items


def _protection(
    workings: Workings,
    say: Wording,
    limits: dict[str, Limit],
    wall: tuple[str, str, int, float | None, str],
) -> list[LoadItem]:
    key, name, count, along, place = wall
    air = workings.rulebook.value("clearance.air_space")
    ventilated = "ventilated" in key
    stands = f"; at least {say.least(air)} off the wall" if ventilated and air is not None else ""
    size = _size(workings, limits, along)
    if size is None or "masonry" in key or "brick" in key:
        beyond = "" if size is None else f", {say.least(size[0])} wide and {say.least(size[1])} high"
        items = [LoadItem(f"wall protection: {name}", count, "set", f"{place}{beyond}{stands}")]
    else:
        wide, high = size
        layers = 2 if key.startswith(("two_", "batts_between")) else 1
        sheets = count * layers * _strips(wide, high, WALL_SHEET[say.system])
        items = [
            LoadItem(
                f"wall protection: {name}",
                sheets,
                "sheet",
                f"{place}, {say.least(wide)} wide and {say.least(high)} high{stands}; "
                f"{_by(say, WALL_SHEET[say.system])} sheets{', in two layers' if layers == 2 else ''}",
            )
        ]
    if ventilated and air is not None and size is not None:
        rows, columns = (math.ceil(one / SPACER_SPACING - 1e-9) + 1 for one in size)
        items.append(
            LoadItem(
                goods_name("spacers", say.system),
                count * rows * columns,
                "piece",
                f"{say.least(air)} deep, {place}: no more than {say.most(SPACER_SPACING)} apart, none "
                "opposite the appliance or its connector",
            )
        )
    return items


def _size(workings: Workings, limits: dict[str, Limit], along: float | None) -> tuple[float, float] | None:
    """Width and height of a protection, as far as the rule book says how far it reaches."""
    beyond, above = (limits.get(f"protection.{side}") for side in ("beyond", "above"))
    top, ceiling = workings.appliance.collar_height, workings.survey.floor_to_ceiling
    if beyond is None or beyond.minimum is None or along is None or top is None:
        return None
    high = top + ((above.minimum or 0.0) if above else beyond.minimum)
    return along + 2 * beyond.minimum, high if ceiling is None else min(high, ceiling)


def _strips(wide: float, high: float, sheet: tuple[float, float]) -> int:
    """Sheets side by side, upright, and one on the other where they are not high enough."""
    across, along = sheet
    return math.ceil(wide / across - 1e-9) * math.ceil(high / along - 1e-9)


def _by(say: Wording, sheet: tuple[float, float]) -> str:
    return f"{say.length(sheet[0])} x {say.length(sheet[1])}"


def hearth(workings: Workings, say: Wording) -> list[LoadItem]:
    """Layers of the floor protection, for the size of the hearth."""
    size = _hearth_size(workings)
    return [_layer(say, layer, size) for layer in workings.survey.hearth_layers if layer.material != AIR]


def _hearth_size(workings: Workings) -> tuple[float, float] | None:
    """Width and depth of the hearth: measured, or the appliance with what goes beyond it."""
    survey, appliance = workings.survey, workings.appliance
    wide, deep = survey.hearth_width, survey.hearth_depth
    if wide is None and appliance.width is not None and survey.hearth_side is not None:
        wide = appliance.width + 2 * survey.hearth_side
    if deep is None and appliance.depth is not None and survey.hearth_front is not None:
        deep = appliance.depth + survey.hearth_front + (survey.hearth_rear or 0.0)
    return None if not wide or not deep else (wide, deep)


def _layer(say: Wording, layer: HearthLayer, size: tuple[float, float] | None) -> LoadItem:
    thick = "" if layer.thickness is None else f", {say.length(layer.thickness)}"
    name = f"hearth: {layer.material}{thick}"
    if size is None:
        return LoadItem(name, 1, "set", "for the whole hearth; measure it for the count")
    covers = f"for a hearth of {say.length(size[0])} x {say.length(size[1])}"
    more = f"{covers}, and a tenth more for cutting"
    area = size[0] * size[1] * (1 + SPARE_MATERIAL)
    if "board" in layer.material:
        sheet = HEARTH_BOARD[say.system]
        flat = min(_strips(*size, sheet), _strips(*size[::-1], sheet))
        return LoadItem(name, flat, "sheet", f"{covers}; {_by(say, sheet)} sheets, no strip pieced together")
    if layer.material == "brick":
        courses = max(1, round((layer.thickness or 0.0) / _BRICK_HEIGHT))
        laid = "laid flat" if courses == 1 else f"{courses} courses laid flat"
        return LoadItem(name, courses * math.ceil(area / _BRICK_FACE - 1e-9), "piece", f"{laid} {more}")
    return LoadItem(name, 1, "set", more)


def alarms(workings: Workings) -> list[LoadItem]:
    """Alarms the rule book asks for, and the notice plate."""
    book = workings.rulebook
    items = []
    if rule := book.find("alarm.co") or book.find("alarm.co_distance"):
        told = rule.as_printed if rule.value is None else f"{rule.as_printed}. {rule.note}"
        items.append(LoadItem("carbon monoxide alarm", 1, "piece", told))
    if rule := book.find("alarm.smoke"):
        note = f"one at least, where the house has too few: {rule.as_printed}"
        items.append(LoadItem("smoke alarm", 1, "piece", note))
    if rule := next((one for key in ("notice.plate", "notice.holds") if (one := book.find(key))), None):
        items.append(LoadItem("notice plate", 1, "piece", rule.note or rule.as_printed))
    return items
