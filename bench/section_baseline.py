"""The choice of sections as an integer programme: least over-run, then least pieces, by scipy's milp."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp


def choose_with_milp(required: int, lengths: Sequence[int]) -> dict[str, float]:
    """Solve in whole millimetres, one aim after the other."""
    most = required // min(lengths) + 2
    total = _least(lengths, lengths, most, [(lengths, required, np.inf)])
    pieces = _least([1] * len(lengths), lengths, most, [(lengths, total, total)])
    return {"millimetres": total, "pieces": pieces}


def _least(
    objective: Sequence[int],
    lengths: Sequence[int],
    most: int,
    rows: Sequence[tuple[Sequence[int], float, float]],
) -> int:
    found = milp(
        np.array(objective, dtype=float),
        constraints=[LinearConstraint(np.array(row, dtype=float), low, high) for row, low, high in rows],
        integrality=np.ones(len(lengths)),
        bounds=Bounds(0, most),
    )
    if not found.success:
        raise ArithmeticError(found.message)
    return round(float(found.fun))
