"""What goes into a masonry chimney."""

from __future__ import annotations

import math

from calcs.loads.item import LoadItem
from calcs.routes.liner import FIREPLACE
from calcs.wording import Wording
from calcs.workings import Workings


def liner(workings: Workings, say: Wording) -> list[LoadItem]:
    """The liner with its insulation, what holds it above and what it stands on below."""
    chimney, length = workings.chimney, workings.liner_length
    named = f" of {chimney.name}" if chimney.name else ""
    items = []
    if length is not None:
        spare = workings.rulebook.value("liner.spare") or 0.0
        step = 0.3048 if say.system == "imperial" else 0.5
        whole = math.ceil((length + spare) / step - 1e-9) * step
        note = f"one piece of {say.height(whole)}: {say.height(length, 'up')} and {say.length(spare)} to trim"
        items.append(LoadItem(f"liner{named}", 1, "piece", note))
        if chimney.insulation_thickness:
            thick = say.length(chimney.insulation_thickness)
            items.append(LoadItem("liner insulation", 1, "set", f"{thick}, for {say.height(whole)} of liner"))
    items.append(LoadItem("top plate with its clamp", 1, "piece", "over the flue, larger than its opening"))
    if workings.survey.flue_entry == FIREPLACE:
        items.append(LoadItem("block-off plate", 1, "piece", "in the throat, cut around the liner"))
        items.append(LoadItem("packing that does not burn", 1, "set", "around the liner in the throat"))
    else:
        items.append(LoadItem("liner tee with cleanout cap", 1, "piece", "in the thimble, on its support"))
    return items


def top(workings: Workings, say: Wording) -> list[LoadItem]:
    """What keeps the rain out of the lined flue."""
    return [
        LoadItem("rain cap", 1, "piece", "on the liner, with a screen if the code asks for one"),
        LoadItem("sealant for the top plate", 1, "cartridge", "under the plate, all round"),
    ]
