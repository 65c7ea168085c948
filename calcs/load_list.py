"""What goes on the truck."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.clearance import protections
from calcs.flashing import (
    CARTRIDGE_VOLUME,
    NAIL_EDGE,
    flashing_for_pitch,
    flashing_plate,
    nail_count,
    sealant_cartridges,
)
from calcs.goods import LUMBER_LENGTH, PIPE_LENGTH, flashing_name, goods_name, stock_name
from calcs.shield import plywood_sheets
from calcs.wording import Wording
from calcs.workings import Workings

FOOT = 0.3048
#: Nails in each end of a header or block, and screws along the edges of an enclosure's panels. Common
#: practice, from memory.
FRAMING_NAILS_PER_END = 3
PANEL_SCREW_SPACING = 0.1524
#: Fasteners dropped in insulation or bent. Common practice, from memory.
SPARE_FASTENERS = 0.1
SUPPORT_SIDES = 4


@dataclass(frozen=True)
class LoadItem:
    """One line of the load list."""

    name: str
    quantity: float
    unit: str
    note: str = ""


def load_list_of(workings: Workings, say: Wording) -> tuple[LoadItem, ...]:
    """List what the plan needs, as far as it is known.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in

    Returns
    -------
    tuple of LoadItem
        Items for the walls, from the ceiling up, then the connector

    Notes
    -----
    An item whose size is not known yet is not listed; what is missing for it stands in the plan's unknowns.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> from calcs.workings import work_out
    >>> worked = work_out(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> [item.name for item in load_list_of(worked, Wording())][:2]
    ['ceiling support', 'wood screws, No. 8 x 1 1/2 to 2 in']
    """
    return (
        *_walls(workings, say),
        *_support(workings, say),
        *_framing(workings, say),
        *_attic(workings, say),
        *_sections(workings),
        *_roof(workings, say),
        *_connector(workings, say),
        *_room(workings),
    )


def _with_spares(count: int) -> int:
    return math.ceil(count * (1 + SPARE_FASTENERS) - 1e-9)


def _walls(workings: Workings, say: Wording) -> list[LoadItem]:
    """Wall protections that the clearances of this plan count on."""
    survey = workings.survey
    names = {one.key: one.name for one in protections(workings.rulebook)}
    sides = {
        "both": "for both side walls",
        "left": "for the wall on the left",
        "right": "for the wall on the right",
    }
    walls = [(survey.rear_protection, "for the wall behind the appliance")]
    if survey.protected_sides:
        walls.append((survey.side_protection, sides[survey.protected_sides]))
    air = workings.rulebook.value("clearance.air_space")
    stands = "" if air is None else f"; ventilated ones at least {say.least(air)} off the wall"
    return [
        LoadItem(f"wall protection: {names[key]}", 1, "set", f"{place}{stands}")
        for key, place in walls
        if key in names
    ]


def _support(workings: Workings, say: Wording) -> list[LoadItem]:
    size = workings.chimney.name
    items = [LoadItem("ceiling support", 1, "piece", size)]
    rule = workings.rulebook.find("support.screws_per_side")
    if rule is not None and rule.value is not None:
        per_side = int(rule.upper or rule.value)
        items.append(
            LoadItem(
                goods_name("support screws", say.system),
                _with_spares(SUPPORT_SIDES * per_side),
                "piece",
                f"{per_side} a side through the support into the framing, and spares",
            )
        )
    if workings.rulebook.find("chimney.fireblock"):
        items.append(
            LoadItem("firestop spacer", 1, "piece", "not needed where the support is listed as the firestop")
        )
    return items


def _framing(workings: Workings, say: Wording) -> list[LoadItem]:
    if not workings.cut_list:
        return []
    stock, length = stock_name(workings.survey.framing_stock, say.system), LUMBER_LENGTH[say.system]
    pieces = [cut.length for cut in workings.cut_list for _ in range(cut.count)]
    boards = _boards(pieces, length)
    cuts = ", ".join(f"{cut.count} x {say.length(cut.length)}" for cut in workings.cut_list)
    nails = _with_spares(2 * FRAMING_NAILS_PER_END * len(pieces))
    return [
        LoadItem(f"{stock} lumber, {say.height(length)}", boards, "length", f"for {cuts}"),
        LoadItem(
            goods_name("framing nails", say.system),
            nails,
            "piece",
            f"{FRAMING_NAILS_PER_END} in each end, and spares",
        ),
    ]


def _boards(pieces: list[float], length: float) -> int:
    """Boards by first fit, longest piece first."""
    left: list[float] = []
    for piece in sorted(pieces, reverse=True):
        needed = piece % length if piece > length else piece
        whole = int(piece // length) if piece > length else 0
        left.extend([0.0] * whole)
        for index, rest in enumerate(left):
            if rest >= needed:
                left[index] = rest - needed
                break
        else:
            left.append(length - needed)
    return len(left)


def _attic(workings: Workings, say: Wording) -> list[LoadItem]:
    if workings.attic_protection == "shield" and workings.chimney.shield_height is not None:
        return [
            LoadItem(
                "attic insulation shield", 1, "piece", f"{say.length(workings.chimney.shield_height)} high"
            )
        ]
    if workings.attic_protection != "enclosure":
        return []
    panels = list(workings.enclosure)
    try:
        sheets = plywood_sheets(panels)
        note = f"enclosure of {sum(panel.count for panel in panels)} panels, true shapes in the cut list"
    except ValueError as error:
        area = sum(panel.count * panel.width * max(panel.height_left, panel.height_right) for panel in panels)
        sheets = math.ceil(area / (32 * FOOT**2))
        note = f"{error}"
    edges = sum(panel.count * (panel.width + panel.height_left + panel.height_right) for panel in panels)
    return [
        LoadItem(goods_name("plywood", say.system), sheets, "sheet", note),
        LoadItem(goods_name("cleats", say.system), 4, "piece", "on the outside of the enclosure's corners"),
        LoadItem(
            goods_name("panel screws", say.system),
            _with_spares(math.ceil(edges / PANEL_SCREW_SPACING - 1e-9)),
            "piece",
            f"about {say.length(PANEL_SCREW_SPACING)} apart along the panels' edges, and spares",
        ),
    ]


def _sections(workings: Workings) -> list[LoadItem]:
    plan = workings.sections
    if plan is None:
        return []
    items = [
        LoadItem(f"chimney section {name}", count, "piece", "bottom to top as in the drawing")
        for name, count in plan.counts().items()
    ]
    if plan.braces:
        items.append(LoadItem("brace kit", plan.braces, "set", "with lag screws into the rafters"))
    return items


def _roof(workings: Workings, say: Wording) -> list[LoadItem]:
    rise, hole = workings.levels.rise, workings.roof_opening
    items = []
    if rise is not None:
        try:
            choice = flashing_for_pitch(rise, workings.survey.roof_covering)
            items.append(LoadItem(flashing_name(choice, say.system), 1, "piece", choice.note))
        except ValueError:
            note = f"none is made for a roof as steep as {say.pitch(rise)}"
            items.append(LoadItem("flashing made to measure", 1, "piece", note))
    items.append(LoadItem("storm collar", 1, "piece"))
    items.append(LoadItem("cap", 1, "piece", workings.chimney.name))
    if hole is None or workings.chimney.outer_diameter is None:
        return items
    plate = flashing_plate(hole.across, hole.along_plumb_cut)
    spacing = workings.rulebook.value("flashing.nail_spacing")
    nails = 0
    if spacing is not None:
        nails = nail_count(plate.perimeter - 8 * NAIL_EDGE, spacing)
        items.append(
            LoadItem(
                goods_name("roofing nails", say.system),
                _with_spares(nails),
                "piece",
                f"about {say.length(spacing)} apart, {say.length(NAIL_EDGE)} from the edge, and spares",
            )
        )
    collar = math.pi * workings.chimney.outer_diameter
    heads = nails * 2 * NAIL_EDGE
    items.append(
        LoadItem(
            goods_name("sealant", say.system),
            sealant_cartridges(
                2 * plate.perimeter + collar + heads,
                cartridge_volume=workings.rulebook.value("flashing.cartridge") or CARTRIDGE_VOLUME,
            ),
            "cartridge",
            "under the flashing, along its edge, on every nail head, around the storm collar; with waste",
        )
    )
    return items


def _connector(workings: Workings, say: Wording) -> list[LoadItem]:
    diameter = workings.appliance.collar_diameter
    joint, collar = workings.levels.first_joint, workings.levels.collar
    if diameter is None or joint is None or collar is None or joint <= collar:
        return []
    run = workings.survey.connector_run or 0.0
    elbows = workings.survey.connector_elbows or 0
    size = say.length(diameter)
    kind = workings.survey.connector_kind
    each = PIPE_LENGTH[say.system]
    lengths = _connector_lengths(workings, joint - collar + run, each)
    items = [
        LoadItem(
            f"{kind} connector pipe, {size}",
            lengths,
            "length",
            f"{say.length(each)} lengths for {say.height(joint - collar, 'up')} up"
            + (f" and {say.length(run, 'up')} across" if run else ""),
        ),
        LoadItem(f"connector adapter, {size}", 1, "piece", "to the ceiling support"),
    ]
    if elbows:
        items.append(LoadItem(f"connector elbow, {size}", elbows, "piece"))
    per_joint = workings.rulebook.value("connector.screws_per_joint")
    if per_joint is not None:
        joints = lengths + elbows + 1
        items.append(
            LoadItem(
                goods_name("sheet-metal screws", say.system),
                _with_spares(joints * int(per_joint)),
                "piece",
                f"{per_joint:g} in each of {joints} joints, and spares",
            )
        )
    return items


def _connector_lengths(workings: Workings, total: float, each: float) -> int:
    overlap = workings.rulebook.value("connector.overlap") or 0.0
    return max(1, math.ceil(total / (each - overlap) - 1e-9))


def _room(workings: Workings) -> list[LoadItem]:
    rule = workings.rulebook.find("alarm.co") or workings.rulebook.find("alarm.co_distance")
    if rule is None:
        return []
    return [LoadItem("carbon monoxide alarm", 1, "piece", rule.note or rule.as_printed)]
