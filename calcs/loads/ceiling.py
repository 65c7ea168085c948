"""Support, framing and what keeps the insulation off the chimney."""

from __future__ import annotations

import math

from calcs.framing import HANGER_SPAN
from calcs.goods import LUMBER_LENGTHS, goods_name, stock_name
from calcs.loads.item import LoadItem, with_spares
from calcs.loads.lumber import boards_for
from calcs.shield import plywood_sheets
from calcs.wording import Wording
from calcs.workings import Workings

#: Nails in each end of a header or block, and screws along the edges of an enclosure's panels. Common
#: practice, from memory.
FRAMING_NAILS_PER_END = 3
PANEL_SCREW_SPACING = 0.1524
SUPPORT_SIDES = 4
_SHEET = 4 * 8 * 0.3048**2


def support(workings: Workings, say: Wording) -> list[LoadItem]:
    """The ceiling support, its screws and the fireblock."""
    named = f" of {workings.chimney.name}" if workings.chimney.name else ""
    items = [LoadItem("ceiling support", 1, "piece", f"one for the ceiling, the part{named}")]
    rule = workings.rulebook.find("support.screws_per_side")
    if rule is not None and rule.value is not None:
        per_side = int(rule.upper or rule.value)
        items.append(
            LoadItem(
                goods_name("support screws", say.system),
                with_spares(SUPPORT_SIDES * per_side),
                "piece",
                f"{per_side} a side through the support into the framing, and spares",
            )
        )
    if workings.rulebook.find("chimney.fireblock"):
        items.append(
            LoadItem(
                "firestop spacer",
                1,
                "piece",
                "one for the ceiling; not needed where the support is listed as the firestop",
            )
        )
    return items


def framing(workings: Workings, say: Wording) -> list[LoadItem]:
    """Lumber and nails for headers and blocks."""
    if not workings.cut_list:
        return []
    system, stock = say.system, stock_name(workings.survey.framing_stock, say.system)
    pieces = [cut.length for cut in workings.cut_list for _ in range(cut.count)]
    cuts = ", ".join(f"{cut.count} x {say.length(cut.length)}" for cut in workings.cut_list)
    boards = boards_for(pieces, LUMBER_LENGTHS[system])
    if boards is None:
        lumber = LoadItem(f"{stock} lumber, cut to order", len(pieces), "length", f"for {cuts}")
    else:
        lumber = LoadItem(
            f"{stock} lumber, {say.height(boards.length)}",
            boards.count,
            "length",
            f"for {cuts}; {say.length(boards.waste)} left over, saw cuts included",
        )
    nails = with_spares(2 * FRAMING_NAILS_PER_END * len(pieces))
    items = [
        lumber,
        LoadItem(
            goods_name("framing nails", system),
            nails,
            "piece",
            f"{FRAMING_NAILS_PER_END} in each end of {len(pieces)} pieces, and spares",
        ),
    ]
    return [*items, *_cut_joist(workings, stock), *_hangers(workings, say)]


def _cut_joist(workings: Workings, stock: str) -> list[LoadItem]:
    """What doubles the joists beside the one that is cut: as long as they are, which nobody measured."""
    if not workings.members_cut:
        return []
    note = "one beside the joist on each side of the cut, from bearing to bearing: measure the joists"
    return [LoadItem(f"{stock} lumber, as long as the joists", 2, "length", note)]


def _hangers(workings: Workings, say: Wording) -> list[LoadItem]:
    hung = sum(
        cut.count for cut in workings.cut_list if cut.name == "header" and cut.length > HANGER_SPAN + 1e-9
    )
    reasons = []
    if hung:
        reasons.append(f"one at each end of {hung} headers longer than {say.height(HANGER_SPAN)}")
    if workings.members_cut:
        reasons.append("one for each end of the joist that is cut")
    if not reasons:
        return []
    return [LoadItem("joist hanger", 2 * (hung + workings.members_cut), "piece", "; ".join(reasons))]


def attic(workings: Workings, say: Wording) -> list[LoadItem]:
    """The insulation shield, or what the enclosure is built from."""
    tall = workings.chimney.shield_height
    if workings.attic_protection == "shield" and tall is not None:
        note = f"{say.length(tall)} high, uncut, on top of the opening"
        return [LoadItem("attic insulation shield", 1, "piece", note)]
    if workings.attic_protection != "enclosure":
        return []
    panels = list(workings.enclosure)
    try:
        sheets = plywood_sheets(panels)
        note = f"enclosure of {sum(panel.count for panel in panels)} panels, true shapes in the cut list"
    except ValueError as error:
        area = sum(panel.count * panel.width * max(panel.height_left, panel.height_right) for panel in panels)
        sheets = math.ceil(area / _SHEET)
        note = f"{error}"
    edges = sum(panel.count * (panel.width + panel.height_left + panel.height_right) for panel in panels)
    tallest = max(max(panel.height_left, panel.height_right) for panel in panels)
    return [
        LoadItem(goods_name("plywood", say.system), sheets, "sheet", note),
        LoadItem(
            goods_name("cleats", say.system),
            4,
            "piece",
            f"on the outside of the enclosure's corners, up to {say.length(tallest, 'up')} long",
        ),
        LoadItem(
            goods_name("panel screws", say.system),
            with_spares(math.ceil(edges / PANEL_SCREW_SPACING - 1e-9)),
            "piece",
            f"about {say.length(PANEL_SCREW_SPACING)} apart along the panels' edges, and spares",
        ),
    ]
