"""Lengths of lumber to buy for pieces to cut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN
from calcs.shield import KERF


@dataclass(frozen=True)
class Boards:
    """So many boards of one length, and what is left over of them together [m]."""

    length: float
    count: int
    waste: float


def boards_for(pieces: Iterable[float], lengths: Sequence[float], kerf: float = KERF) -> Boards | None:
    """Boards of one stock length that give the pieces with the least lumber.

    Parameters
    ----------
    pieces : iterable of float
        Lengths to cut [m]
    lengths : sequence of float
        Lengths the lumber is sold in [m]
    kerf : float
        Width of a saw cut [m]

    Returns
    -------
    Boards or None
        Least lumber bought, then fewest boards; None where a piece is longer than every length

    Raises
    ------
    ValueError
        If there are no pieces, or a piece is not above zero.

    Notes
    -----
    Longest piece first, each on the first board that still holds it: a cut that can be made, at most one
    board in five more than the fewest.

    Examples
    --------
    >>> boards_for([0.57, 0.57, 0.36, 0.36], (2.4, 3.0))
    Boards(length=2.4, count=1, waste=0.54)

    References
    ----------
    First fit decreasing for bin packing (Johnson, 1973), from memory.
    """
    wanted = sorted(pieces, reverse=True)
    if not wanted or not wanted[-1] > 0:
        raise ValueError("pieces: there has to be one, and each has to be above zero")
    choices = []
    for length in lengths:
        if wanted[0] <= length + EQUAL_WITHIN:
            count = _cut(wanted, length, kerf)
            choices.append((count * length, count, length))
    if not choices:
        return None
    bought, count, length = min(choices)
    return Boards(length, count, round(bought - sum(wanted), 9))


def _cut(pieces: Sequence[float], length: float, kerf: float) -> int:
    left: list[float] = []
    for piece in pieces:
        for index, rest in enumerate(left):
            if rest >= piece - EQUAL_WITHIN:
                left[index] = rest - piece - kerf
                break
        else:
            left.append(length - piece - kerf)
    return len(left)
