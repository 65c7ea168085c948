"""The support box of a vaulted ceiling."""

from __future__ import annotations

from calcs.goods import goods_name
from calcs.loads.ceiling import SUPPORT_SIDES
from calcs.loads.item import LoadItem, with_spares
from calcs.wording import Wording
from calcs.workings import Workings


def support(workings: Workings, say: Wording) -> list[LoadItem]:
    """The box, what fastens it, its trim and the baffle for the rafter space."""
    named = f" of {workings.chimney.name}" if workings.chimney.name else ""
    tall = workings.box_height
    note = f"at least {say.least(tall)} tall, trimmed along the slope" if tall is not None else "one"
    items = [LoadItem("roof support box", 1, "piece", f"{note}, the part{named} for a vaulted ceiling")]
    rule = workings.rulebook.find("support.screws_per_side")
    if rule is not None and rule.value is not None:
        per_side = int(rule.upper or rule.value)
        items.append(
            LoadItem(
                goods_name("support screws", say.system),
                with_spares(SUPPORT_SIDES * per_side),
                "piece",
                f"{per_side} a side through the box into the framing, and spares",
            )
        )
    items.append(LoadItem("ceiling trim for the box", 1, "set", "made for the slope of the ceiling"))
    if workings.survey.rafter_vented == "vented":
        items.append(LoadItem("vent baffle", 2, "piece", "above and below the headers, over the insulation"))
    return items
