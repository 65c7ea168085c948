"""What happened in the invented shop, in the order it happened in."""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable
from datetime import datetime

Step = Callable[[datetime], None]


class Timeline:
    """Keeps steps by their moment and takes them in order; a step may put further ones in."""

    def __init__(self, *, now: datetime) -> None:
        self.now = now
        self._steps: list[tuple[datetime, int, Step]] = []
        self._count = itertools.count()

    def put(self, moment: datetime, step: Step) -> None:
        """Put a step in; what is still to come is left out."""
        if moment <= self.now:
            heapq.heappush(self._steps, (moment, next(self._count), step))

    def run(self) -> None:
        """Take every step."""
        while self._steps:
            moment, _, step = heapq.heappop(self._steps)
            step(moment)
