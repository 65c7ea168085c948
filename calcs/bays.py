"""The bays between ceiling members: where a box may stand between two of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN


@dataclass(frozen=True)
class Position:
    """A centre that lands the box in a bay, in m. `move` is positive away from the wall measured from."""

    centre: float
    move: float
    bay: int
    gap_near: float
    gap_far: float

    @property
    def room(self) -> float:
        """The narrower gap between box and member [m]."""
        return min(self.gap_near, self.gap_far)


@dataclass(frozen=True)
class Bays:
    """Bays counted from 1, from the wall the members are counted from. Lengths in m.

    With `members_cut` each bay reaches across so many members that are cut, and bays overlap.
    """

    first: float
    spacing: float
    thickness: float
    opening: float
    members_cut: int = 0

    @property
    def clear(self) -> float:
        """Clear width of a bay [m]."""
        return (self.members_cut + 1) * self.spacing - self.thickness

    @property
    def fit(self) -> bool:
        """Whether the box fits in a bay at all."""
        return self.opening <= self.clear + EQUAL_WITHIN

    def faces(self, bay: int) -> tuple[float, float]:
        """Faces of the two members that bound a bay [m]."""
        near = self.first + self.thickness + (bay - 1) * self.spacing
        return near, near + self.clear

    def centres(self, bay: int) -> tuple[float, float]:
        """Least and greatest centre that keeps the box between the members of a bay [m]."""
        near, far = self.faces(bay)
        least, most = near + self.opening / 2, far - self.opening / 2
        return (least, most) if least <= most else ((least + most) / 2, (least + most) / 2)

    def down_from(self, start: float, low: float, measured: float) -> Position | None:
        """Nearest place at or below `start`, not below `low`; moves count from `measured`."""
        bay = math.floor((start - self.first - self.thickness - self.opening / 2) / self.spacing) + 1
        found = []
        for one in range(max(1, bay - self.members_cut - 1), bay + 2):
            least, most = self.centres(one)
            centre = min(start, most)
            if centre >= max(least, low) - EQUAL_WITHIN:
                found.append(self._position(one, centre, measured))
        return max(found, key=lambda one: (one.centre, one.room), default=None)

    def up_from(self, start: float, high: float, measured: float) -> Position | None:
        """Nearest place at or above `start`, not above `high`; moves count from `measured`."""
        bay = max(1, math.ceil((start - self.first + self.opening / 2) / self.spacing) - self.members_cut)
        found = []
        for one in range(max(1, bay - 1), bay + self.members_cut + 2):
            least, most = self.centres(one)
            centre = max(start, least)
            if centre <= min(most, high) + EQUAL_WITHIN:
                found.append(self._position(one, centre, measured))
        return min(found, key=lambda one: (one.centre, -one.room), default=None)

    def _position(self, bay: int, centre: float, measured: float) -> Position:
        near, far = self.faces(bay)
        half = self.opening / 2
        return Position(centre, centre - measured, bay, centre - half - near, far - centre - half)
