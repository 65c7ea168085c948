"""The connector between the appliance and the chimney."""

from __future__ import annotations

import math

from calcs.goods import PIPE_LENGTH, goods_name
from calcs.loads.item import LoadItem, with_spares
from calcs.routes import THROUGH_WALL
from calcs.wording import Wording
from calcs.workings import Workings

#: A run to the side is hung up at least so often. Common practice, from memory.
STRAP_SPACING = 1.2


def connector(workings: Workings, say: Wording) -> list[LoadItem]:
    """Pipe, elbows, adapter, straps and screws of the connector."""
    diameter = workings.appliance.collar_diameter
    up = _up(workings)
    if diameter is None or up is None:
        return []
    survey = workings.survey
    run, elbows = survey.connector_run or 0.0, survey.connector_elbows or 0
    size, each = say.length(diameter), PIPE_LENGTH[say.system]
    lengths = _lengths(workings, survey.connector_length or up + run, each)
    ways = [f"{say.height(up, 'up')} up"] + ([f"{say.length(run, 'up')} across"] if run else [])
    items = [
        LoadItem(
            f"{survey.connector_kind} connector pipe, {size}",
            lengths,
            "length",
            f"{say.length(each)} lengths for {' and '.join(ways)}{_overlap(workings, say)}",
        ),
        LoadItem(f"connector adapter, {size}", 1, "piece", "to the ceiling support"),
    ]
    if elbows:
        items.append(
            LoadItem(
                f"connector elbow, {size}", elbows, "piece", "as counted where the connector was surveyed"
            )
        )
    if run:
        items.append(_straps(workings, say, run))
    per_joint = workings.rulebook.value("connector.screws_per_joint")
    if per_joint is not None:
        joints = lengths + elbows + 1
        items.append(
            LoadItem(
                goods_name("sheet-metal screws", say.system),
                with_spares(joints * int(per_joint)),
                "piece",
                f"{per_joint:g} in each of {joints} joints, and spares",
            )
        )
    return items


def _up(workings: Workings) -> float | None:
    """From the collar to the support's lower end; None while not known, or where there is no such way."""
    joint, collar = workings.levels.first_joint, workings.levels.collar
    if workings.survey.route == THROUGH_WALL:
        joint = workings.survey.thimble_height
    return None if joint is None or collar is None or joint <= collar else joint - collar


def _lengths(workings: Workings, total: float, each: float) -> int:
    overlap = workings.rulebook.value("connector.overlap") or 0.0
    return max(1, math.ceil(total / (each - overlap) - 1e-9))


def _overlap(workings: Workings, say: Wording) -> str:
    overlap = workings.rulebook.value("connector.overlap")
    return f", each {say.least(overlap)} into the next" if overlap else ""


def _straps(workings: Workings, say: Wording, run: float) -> LoadItem:
    """Straps for a run to the side, by the rule book or the trade."""
    spacing = workings.rulebook.value("connector.unsupported_run") or STRAP_SPACING
    return LoadItem(
        "pipe strap",
        max(1, math.ceil(run / spacing - 1e-9)),
        "piece",
        f"one for each {say.most(spacing)} of the {say.length(run, 'up')} across",
    )
