"""What leads a chimney through the wall and holds it outside."""

from __future__ import annotations

from calcs.loads.item import LoadItem
from calcs.loads.roof import roof
from calcs.routes.wall import THROUGH, standoff
from calcs.wording import Wording
from calcs.workings import Workings


def support(workings: Workings, say: Wording) -> list[LoadItem]:
    """Thimble, the section in it, tee, wall support, brackets and the elbows below the eaves."""
    chimney, plan = workings.chimney, workings.sections
    named = f" of {chimney.name}" if chimney.name else ""
    stands = standoff(workings.survey, chimney)
    off = f", {say.length(stands)} off the wall" if stands is not None else ""
    items = [LoadItem("wall thimble", 1, "piece", f"the part{named} for the thickness of this wall")]
    if workings.wall_piece is not None:
        name = f"chimney section {workings.wall_piece.name}, level"
        items.append(LoadItem(name, 1, "piece", "from the tee through the wall"))
    items += [
        LoadItem("tee with cleanout cap", 1, "piece", "at the foot of the chimney"),
        LoadItem("wall support", 1, "piece", f"under the tee{off}; with its lag screws into the framing"),
    ]
    if workings.brackets and chimney.bracket_spacing is not None:
        items.append(
            LoadItem(
                "wall bracket", len(workings.brackets), "piece",
                f"no further apart than {say.most(chimney.bracket_spacing)}, the last under the eaves",
            )
        )  # fmt: skip
    if plan is not None and plan.offset is not None:
        pair = f"chimney elbow, {plan.offset.angle_degrees:g}°"
        items.append(LoadItem(pair, 2, "piece", "around the eaves"))
    items.append(LoadItem("flashing and sealant for the thimble's outer plate", 1, "set", "against the rain"))
    return items


def top(workings: Workings, say: Wording) -> list[LoadItem]:
    """The cap; firestop and flashing only where the chimney passes through the eaves."""
    if workings.survey.eaves_way == THROUGH:
        return [
            LoadItem("firestop spacer", 1, "piece", "at the underside of the eaves"),
            *roof(workings, say),
        ]
    named = f" of {workings.chimney.name}" if workings.chimney.name else ""
    return [LoadItem("cap", 1, "piece", f"on the uppermost section{named}")]
