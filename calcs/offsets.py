"""Elbow pairs: how far they carry a flue sideways and what height they take."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN
from calcs.roof import check_not_negative
from calcs.survey import Chimney

#: UL 103: offsets at most 30 degrees from the vertical. At most four elbows: from memory.
GREATEST_ANGLE = 30.0
MOST_ELBOWS = 4
#: Longer lengths between elbows than this are no offset round a member.
_LONGEST_BETWEEN = 6.0
_SHORTEST_PIECE = 0.02
_NANOMETRE = 1e-9


@dataclass(frozen=True)
class ElbowPair:
    """Two elbows locked together: what they add upwards and sideways, in m."""

    angle_degrees: float
    rise: float
    run: float


@dataclass(frozen=True)
class ElbowOffset:
    """Elbow pairs with a straight length between the elbows, in m."""

    angle_degrees: float
    elbows: int
    #: Straight length between the elbows, in all; `pieces` where it is made of given lengths.
    between: float
    rise: float
    run: float
    pieces: tuple[float, ...] = ()


def elbow_pairs(chimney: Chimney) -> tuple[ElbowPair, ...]:
    """Elbow pairs whose rise and run the sheet gives.

    Parameters
    ----------
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    tuple of ElbowPair
        Pairs of 15 and 30 degrees, as far as both figures are known

    Examples
    --------
    >>> elbow_pairs(Chimney(elbow_15_rise=0.35, elbow_15_run=0.05, elbow_30_rise=0.4))
    (ElbowPair(angle_degrees=15.0, rise=0.35, run=0.05),)
    """
    figures = (
        (15.0, chimney.elbow_15_rise, chimney.elbow_15_run),
        (30.0, chimney.elbow_30_rise, chimney.elbow_30_run),
    )
    return tuple(
        ElbowPair(angle, rise, run)
        for angle, rise, run in figures
        if rise is not None and run is not None and run > 0
    )


def pair_with(pair: ElbowPair, between: float, pairs: int = 1, pieces: tuple[float, ...] = ()) -> ElbowOffset:
    """Rise and run of elbow pairs with a straight length between their elbows.

    Parameters
    ----------
    pair : ElbowPair
        Figures of two elbows locked together
    between : float
        Straight length between the elbows, in all [m]
    pairs : int
        How many pairs carry the flue the same way [-]
    pieces : tuple of float
        Lengths `between` is made of [m]

    Returns
    -------
    ElbowOffset
        Rise and run [m]

    Raises
    ------
    ValueError
        The angle is not above 0 and at most 30 degrees, there are more than four elbows, or the length is
        negative.

    Notes
    -----
    run = pairs x pair run + L sin(angle), rise = pairs x pair rise + L cos(angle).

    Examples
    --------
    >>> found = pair_with(ElbowPair(30.0, 0.4, 0.1), 0.5)
    >>> round(found.rise, 3), round(found.run, 3)
    (0.833, 0.35)

    References
    ----------
    Plane geometry. Offsets at most 30 degrees from the vertical: UL 103. At most four elbows: from memory.
    """
    if not 0 < pair.angle_degrees <= GREATEST_ANGLE:
        raise ValueError(
            f"angle_degrees: {pair.angle_degrees:g} is not allowed; "
            f"elbows go up to {GREATEST_ANGLE:g} degrees"
        )
    if not 1 <= pairs <= MOST_ELBOWS // 2:
        raise ValueError(f"pairs: {pairs} is not allowed; a chimney has at most {MOST_ELBOWS} elbows")
    check_not_negative("between", between)
    angle = math.radians(pair.angle_degrees)
    return ElbowOffset(
        pair.angle_degrees,
        2 * pairs,
        between,
        pairs * pair.rise + between * math.cos(angle),
        pairs * pair.run + between * math.sin(angle),
        pieces,
    )


def smallest_offset(
    least: float,
    most: float,
    pairs: Iterable[ElbowPair],
    *,
    height: float = math.inf,
    lengths: Sequence[float] | None = None,
) -> ElbowOffset | None:
    """Smallest offset whose run lies between two figures.

    Parameters
    ----------
    least : float
        Least run that serves [m]
    most : float
        Greatest run that serves [m]
    pairs : iterable of ElbowPair
        Pairs to choose from
    height : float
        Height there is for the offset [m]
    lengths : sequence of float, optional
        Effective lengths to stand between the elbows, any number of each [m]; None for pipe cut to fit

    Returns
    -------
    ElbowOffset or None
        Fewest elbows, then least run, then least angle; None where none serves

    Raises
    ------
    ValueError
        `least` is negative or more than `most`, a length is under 20 mm, or a pair bends too far.

    Examples
    --------
    >>> pairs = [ElbowPair(15.0, 0.35, 0.05), ElbowPair(30.0, 0.4, 0.1)]
    >>> found = smallest_offset(0.2, 0.3, pairs)
    >>> found.angle_degrees, round(found.run, 3), round(found.between, 3), round(found.rise, 3)
    (15.0, 0.2, 0.58, 0.91)
    >>> found = smallest_offset(0.2, 0.3, pairs, height=0.6)
    >>> found.angle_degrees, round(found.between, 3), round(found.rise, 3)
    (30.0, 0.2, 0.573)

    References
    ----------
    Plane geometry.
    """
    check_not_negative("least", least)
    if not least <= most:
        raise ValueError(f"most must not be less than least, not {most!r} under {least!r}")
    for length in lengths or ():
        if not length >= _SHORTEST_PIECE:
            raise ValueError(f"lengths must be at least {_SHORTEST_PIECE:g} m each, not {length!r}")
    found = [
        one
        for pair in pairs
        for count in range(1, MOST_ELBOWS // 2 + 1)
        if (one := _least_run(pair, count, least, most, lengths)) is not None
        and one.rise <= height + EQUAL_WITHIN
    ]
    return min(found, key=lambda one: (one.elbows, round(one.run, 9), one.angle_degrees), default=None)


def _least_run(
    pair: ElbowPair, count: int, least: float, most: float, lengths: Sequence[float] | None
) -> ElbowOffset | None:
    """Return the pairs with the shortest length between them that serves."""
    bare = pair_with(pair, 0.0, count)
    share = math.sin(math.radians(pair.angle_degrees))
    shortest, longest = max(0.0, (least - bare.run) / share), (most - bare.run) / share
    if longest < -EQUAL_WITHIN or shortest > _LONGEST_BETWEEN:
        return None
    if lengths is None:
        return pair_with(pair, shortest, count)
    pieces = _shortest_sum(shortest, min(longest, _LONGEST_BETWEEN), lengths)
    return None if pieces is None else pair_with(pair, math.fsum(pieces), count, pieces)


def _shortest_sum(shortest: float, longest: float, lengths: Sequence[float]) -> tuple[float, ...] | None:
    """Fewest pieces of the least sum from `shortest` to `longest`, longest piece first."""
    sums: dict[int, tuple[float, ...]] = {0: ()}
    front = [0]
    while front:
        reached = heapq.heappop(front)
        if reached >= (shortest - EQUAL_WITHIN) / _NANOMETRE:
            return tuple(sorted(sums[reached], reverse=True))
        for length in lengths:
            there = reached + round(length / _NANOMETRE)
            if there > (longest + EQUAL_WITHIN) / _NANOMETRE:
                continue
            pieces = (*sums[reached], length)
            if there not in sums:
                heapq.heappush(front, there)
            if there not in sums or len(pieces) < len(sums[there]):
                sums[there] = pieces
    return None
