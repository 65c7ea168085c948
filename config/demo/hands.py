"""How the invented people sign and measure."""

from __future__ import annotations

import math
import random
from typing import Any

from calcs.checks import Limit
from calcs.units import INCH, format_length
from inspections.queries.evidence import ItemView
from jobs.forms.quantities import write_quantity

PASCALS_PER_INCH_OF_WATER = 249.089
#: What somebody has to spare beyond a limit, in the steps people read off a tape.
SPARE = {"imperial": (0.25, 0.5, 0.75, 1.0, 1.5), "metric": (5.0, 10.0, 15.0, 25.0, 40.0)}
STEP = {"imperial": 0.125 * INCH, "metric": 0.001}
WIDTH, HEIGHT = 480, 140


def signature(name: str) -> dict[str, Any]:
    """Return drawn strokes that are always the same for a name."""
    chance = random.Random(name)  # noqa: S311  (handwriting, not a secret)
    strokes, x = [], 24.0
    for word in name.split():
        stroke, swing = [], chance.uniform(16, 30)
        for step in range(len(word) * 7):
            wave = math.sin(step * chance.uniform(0.75, 0.95))
            rise = 1.8 if step < 5 else 0.8
            stroke.append([round(x + 5 * math.cos(step * 0.8), 1), round(76 - swing * rise * wave, 1)])
            x += chance.uniform(2.6, 4.0)
        strokes.append(stroke)
        x += 16
    strokes.append([[30.0, 112.0], [x * 0.6, 104.0], [min(x, WIDTH - 20), 108.0]])
    return {"strokes": strokes, "width": max(WIDTH, round(x) + 20), "height": HEIGHT, "name": name}


def answer(item: ItemView, system: str, chance: random.Random) -> str:
    """Return what somebody enters who finds everything as it should be."""
    kind = item.item.kind
    if kind == "confirm":
        return "yes"
    if item.key == "stands":
        return item.stage.record.facts.get("placement") or "wall"
    if kind == "choose":
        return next(option.key for option in item.item.options if not option.fails)
    if kind == "note":
        return "Nothing out of the ordinary."
    return measured(item.item.quantity, item.limit, system, chance)


def measured(quantity: str, limit: Limit | None, system: str, chance: random.Random) -> str:
    """Return a measure that meets its limit, as people write it."""
    least = limit.minimum if limit else None
    if quantity == "length":
        return format_length(length(limit, system, chance), system)
    if quantity == "draft":
        return draft(least or 12.0, system, chance)
    if quantity == "percent":
        return "16 %" if least is None else f"{least * 100 + 5:.0f} %"
    if quantity in {"concentration", "slope"}:
        slope = "1/2 in per ft" if system == "imperial" else "40 mm/m"
        return slope if quantity == "slope" else f"{chance.choice((0, 0, 1))} ppm"
    if quantity == "count":
        return f"{3 if least is None else least:.0f}"
    return write_quantity((least or 0.0) * 1.25, quantity, system)


def draft(least: float, system: str, chance: random.Random) -> str:
    """Return a draft reading above the least, as the gauge shows it."""
    pascals = least + chance.choice((3, 4, 6))
    if system == "imperial":
        return f"{pascals / PASCALS_PER_INCH_OF_WATER:.3f} in w.c."
    return f"{pascals:.0f} Pa"


def length(limit: Limit | None, system: str, chance: random.Random) -> float:
    """Return a length within a limit, on the marks of the tape."""
    step = STEP[system]
    spare = chance.choice(SPARE[system]) * (INCH if system == "imperial" else 0.001)
    if limit is None:
        return 20 * INCH if system == "imperial" else 0.5
    if limit.minimum is not None and limit.maximum is not None:
        return (limit.minimum + limit.maximum) / 2
    if limit.minimum is not None:
        return math.ceil((limit.minimum + spare) / step) * step
    return math.floor((limit.maximum or 0.0) * chance.uniform(0.4, 0.8) / step) * step
