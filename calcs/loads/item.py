"""One line of the load list, and how much more than enough is loaded."""

from __future__ import annotations

import math
from dataclasses import dataclass

#: Fasteners dropped in insulation or bent, and material spoilt in cutting. Common practice, from memory.
SPARE_FASTENERS = 0.1
SPARE_MATERIAL = 0.1


@dataclass(frozen=True)
class LoadItem:
    """One line of the load list; the note gives the reason for the quantity."""

    name: str
    quantity: float
    unit: str
    note: str = ""


def with_spares(count: int, share: float = SPARE_FASTENERS) -> int:
    """Count with spares, whole.

    Parameters
    ----------
    count : int
        How many are used [-]
    share : float
        Spares for each one used [-]

    Returns
    -------
    int
        How many to load [-]

    Examples
    --------
    >>> with_spares(12), with_spares(10), with_spares(0)
    (14, 11, 0)

    References
    ----------
    Common practice, from memory.
    """
    return math.ceil(count * (1 + share) - 1e-9)
