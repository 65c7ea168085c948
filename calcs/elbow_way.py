"""How elbows below the ceiling would land the box in a bay while the appliance stays where it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from calcs.bays import Bays
from calcs.checks import EQUAL_WITHIN, Limit
from calcs.offsets import ElbowOffset, ElbowPair, elbow_pairs, smallest_offset
from calcs.position import allowed_centres, bays_of, cut_opening

if TYPE_CHECKING:
    from calcs.workings import Workings

#: Bays looked at on either side: beyond these an offset is no answer.
_BAYS_LOOKED_AT = 3


@dataclass(frozen=True)
class ElbowWay:
    """An offset in the connector, between the collar and the ceiling support. Lengths in m.

    Places are distances from the wall the members are counted from.
    """

    #: Flue centre of the appliance: as measured, or moved no further than its clearances ask.
    start: float
    #: How far sideways the nearest bay begins that way; None where no bay is left.
    towards_wall: float | None
    away_from_wall: float | None
    #: Smallest offset that lands the box; None while the sheet gives no elbow pair, or none serves.
    offset: ElbowOffset | None = None
    #: Where the flue then passes the ceiling.
    centre: float | None = None
    #: Height between the collar and the support; None while not known.
    height: float | None = None
    #: Whether the sheet gives the figures of any elbow pair.
    pairs_known: bool = False

    @property
    def height_left(self) -> float | None:
        """Height that is left beside the offset, negative where it does not fit; None while not known."""
        return None if self.offset is None or self.height is None else self.height - self.offset.rise


def find_elbow_way(workings: Workings, connector: Limit | None = None) -> None:
    """Find the smallest offset that lands the box in a bay, where it does not stand in one.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `elbows`
    connector : Limit, optional
        Clearance of the connector, kept to the wall the members are counted from
    """
    bays, centre = bays_of(workings), workings.wall_to_centre
    if workings.nearest is None or bays is None or centre is None or not bays.fit:
        return
    low, high = allowed_centres(workings, centre)
    start = min(max(centre, low), high)
    if bays.down_from(start, start, start) is not None:
        return
    levels, collar = workings.levels, workings.appliance.collar_diameter or 0.0
    height = None
    if levels.first_joint is not None and levels.collar is not None:
        height = levels.first_joint - levels.collar
    wall = 0.0 if connector is None or connector.minimum is None else connector.minimum + collar / 2
    ways = _ways(bays, start, wall)
    bend = workings.rulebook.value("connector.elbow_angle")
    pairs = tuple(
        pair for pair in elbow_pairs(workings.chimney) if bend is None or pair.angle_degrees <= bend
    )
    found = _served(ways, pairs, math.inf if height is None else max(0.0, height))
    found = found or _served(ways, pairs, math.inf)
    best = min(found, key=lambda way: (way[1].elbows, round(way[1].run, 9), way[1].rise), default=None)
    workings.elbows = ElbowWay(
        start=start,
        towards_wall=min((least for side, least, _ in ways if side < 0), default=None),
        away_from_wall=min((least for side, least, _ in ways if side > 0), default=None),
        offset=None if best is None else best[1],
        centre=None if best is None else start + best[0] * best[1].run,
        height=height,
        pairs_known=bool(pairs),
    )
    way = workings.elbows
    if workings.nearest.best is None and way.centre is not None and (way.height_left or 0.0) >= -EQUAL_WITHIN:
        place = bays.down_from(way.centre, way.centre, way.centre)
        cut_opening(workings, (place.gap_near - place.gap_far) / 2 if place else 0.0)


def _served(
    ways: list[tuple[int, float, float]], pairs: tuple[ElbowPair, ...], height: float
) -> list[tuple[int, ElbowOffset]]:
    """Smallest offset to each bay that the height allows, with the side it lies on."""
    offsets = ((side, smallest_offset(least, most, pairs, height=height)) for side, least, most in ways)
    return [(side, one) for side, one in offsets if one is not None]


def _ways(bays: Bays, start: float, wall: float) -> list[tuple[int, float, float]]:
    """Bays within reach: the side they lie on, and the least and greatest run that lands the box."""
    ways: list[tuple[int, float, float]] = []
    here = math.floor((start - bays.first) / bays.spacing)
    for bay in range(max(1, here - _BAYS_LOOKED_AT), here + _BAYS_LOOKED_AT + 2):
        least, most = bays.centres(bay)
        least = max(least, wall)
        if most < least - EQUAL_WITHIN:
            continue
        most = max(least, most)
        if least > start:
            ways.append((1, least - start, most - start))
        elif most < start:
            ways.append((-1, start - most, start - least))
    return ways
