"""What the chimney is stacked from and what keeps the rain out where it passes the roof."""

from __future__ import annotations

import math

from calcs.flashing import (
    CARTRIDGE_VOLUME,
    NAIL_EDGE,
    cricket_height,
    flashing_for_pitch,
    flashing_plate,
    nail_count,
    sealant_cartridges,
)
from calcs.goods import flashing_name, goods_name
from calcs.loads.item import SPARE_MATERIAL, LoadItem, with_spares
from calcs.stack import stands_free
from calcs.wording import Wording
from calcs.workings import Workings

_SHEET = 4 * 8 * 0.3048**2


def sections(workings: Workings, say: Wording) -> list[LoadItem]:
    """The sections of the stack and its braces."""
    plan = workings.sections
    if plan is None:
        return []
    items = [
        LoadItem(f"chimney section {name}", count, "piece", "bottom to top as in the drawing")
        for name, count in plan.counts().items()
    ]
    outlet = workings.termination
    if plan.braces and outlet is not None and outlet.brace_threshold is not None:
        free = (stands_free(workings) or 0.0) + plan.over_run
        each = say.height(outlet.brace_threshold, "down")
        items.append(
            LoadItem(
                "brace kit",
                plan.braces,
                "set",
                f"{say.height(free, 'up')} stand above {_last_held(workings)} and no more than {each} may "
                "stand free above a brace; with lag screws into the rafters",
            )
        )
    return items


def _last_held(workings: Workings) -> str:
    found = workings.termination
    beside = found is not None and stands_free(workings) != found.height_above_downhill
    return "the uppermost wall bracket" if beside else "the roof"


def roof(workings: Workings, say: Wording) -> list[LoadItem]:
    """Flashing, storm collar and cap, with their nails and sealant."""
    rise, outer = workings.levels.rise, workings.chimney.outer_diameter
    items = []
    if rise is not None:
        try:
            choice = flashing_for_pitch(rise, workings.survey.roof_covering)
            note = f"for a roof of {say.pitch(rise)}; {choice.note}" if rise else choice.note
            items.append(LoadItem(flashing_name(choice, say.system), 1, "piece", note))
        except ValueError:
            note = f"none is made for a roof as steep as {say.pitch(rise)}"
            items.append(LoadItem("flashing made to measure", 1, "piece", note))
    around = "around the chimney, on top of the flashing's cone"
    size = "" if outer is None else f"; for {say.length(outer)} outside"
    items.append(LoadItem("storm collar", 1, "piece", f"{around}{size}"))
    items.append(LoadItem("cap", 1, "piece", f"on the uppermost section{_of(workings.chimney.name)}"))
    return [*items, *_fastening(workings, say), *_cricket(workings, say)]


def _of(name: str) -> str:
    return f" of {name}" if name else ""


def _fastening(workings: Workings, say: Wording) -> list[LoadItem]:
    """Nails around the flashing's plate, and sealant under it, along it, on the nails and at the collar."""
    hole, outer = workings.roof_opening, workings.chimney.outer_diameter
    if hole is None or outer is None:
        return []
    items = []
    plate = flashing_plate(hole.across, hole.along_plumb_cut)
    spacing = workings.rulebook.value("flashing.nail_spacing")
    nails = 0
    if spacing is not None:
        nails = nail_count(plate.perimeter - 8 * NAIL_EDGE, spacing)
        items.append(
            LoadItem(
                goods_name("roofing nails", say.system),
                with_spares(nails),
                "piece",
                f"{nails}, about {say.length(spacing)} apart and {say.length(NAIL_EDGE)} from the edge of a "
                f"plate {say.length(plate.across)} x {say.length(plate.along)}, and spares",
            )
        )
    bead = 2 * plate.perimeter + math.pi * outer + nails * 2 * NAIL_EDGE
    volume = workings.rulebook.value("flashing.cartridge") or CARTRIDGE_VOLUME
    items.append(
        LoadItem(
            goods_name("sealant", say.system),
            sealant_cartridges(bead, cartridge_volume=volume),
            "cartridge",
            f"{say.height(bead, 'up')} of bead under the flashing, along its edge, on every nail head and "
            "around the storm collar, with waste",
        )
    )
    return items


def _cricket(workings: Workings, say: Wording) -> list[LoadItem]:
    """What turns the water around a hole wider than the rule book lets stand without a cricket."""
    hole, rise = workings.roof_opening, workings.levels.rise
    widest = workings.rulebook.value("flashing.cricket_width")
    if hole is None or not rise or widest is None or hole.across <= widest + 1e-9:
        return []
    height, half = cricket_height(hole.across, rise), hole.across / 2
    # Two triangles from the hole's uphill corners to the ridge of the cricket.
    area = 2 * half * math.hypot(height, half) / 2
    sheets = math.ceil(area * (1 + SPARE_MATERIAL) / _SHEET)
    wide = f"the hole is {say.least(hole.across)} wide, more than {say.most(widest)}"
    return [
        LoadItem(
            f"{goods_name('plywood', say.system)}, for the cricket",
            sheets,
            "sheet",
            f"{wide}: a cricket {say.least(height)} high on its uphill side",
        ),
        LoadItem("flashing metal for the cricket", 1, "set", "over both its slopes and under the courses"),
    ]
