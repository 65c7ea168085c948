"""The search for the best stack: every height that pieces can reach, one more piece at a time."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

#: Widest grid that is walked as the bits of one whole number, and most stacks that are listed one by one.
_WIDEST_GRID = 16_000_000
_MOST_LISTED = 200_000
#: A section count nobody runs out of.
UNLIMITED = -1

Usage = tuple[int, ...]


@dataclass(frozen=True)
class Pair:
    """An elbow pair that stands in the stack once, whole between two heights."""

    rise: int
    lowest: int
    highest: int


@dataclass(frozen=True)
class Task:
    """What to stack, in whole units of length; `limits` is how many there are of each, or UNLIMITED."""

    required: int
    lengths: tuple[int, ...]
    costs: tuple[int, ...]
    zones: tuple[tuple[int, int], ...] = ()
    limits: tuple[int, ...] = ()
    spare: int = 0
    pair: Pair | None = None


@dataclass(frozen=True)
class Stack:
    """Pieces from the bottom up, by their place in the task's lengths; the elbow pair is -1."""

    order: tuple[int, ...]
    cost: int


@dataclass(frozen=True)
class Stacks:
    """The stack asked for, and of those with fewer pieces the lowest and the one of fewest."""

    best: Stack
    fewer: tuple[Stack, ...]


class _Heights(Protocol):
    """A set of heights, kept the way that suits the task's lengths."""

    start: Any
    empty: Any

    def up(self, heights: Any, by: int) -> Any: ...
    def down(self, heights: Any, by: int) -> Any: ...
    def without(self, heights: Any, others: Any) -> Any: ...
    def joints(self, heights: Any) -> Any: ...
    def tops(self, heights: Any) -> Any: ...
    def between(self, heights: Any, low: int, high: int) -> Any: ...
    def lowest(self, heights: Any) -> int: ...
    def one(self, height: int) -> Any: ...
    def each(self, heights: Any) -> Iterator[int]: ...


class _Bits:
    """Heights as the bits of one whole number: all of them move up by a piece in one shift."""

    start, empty = 1, 0

    def __init__(self, task: Task) -> None:
        self.required = task.required
        self.free = (1 << task.required) - 1
        for low, high in task.zones:
            bottom, top = max(0, low + 1), min(high, task.required)
            if top > bottom:
                self.free &= ~(((1 << (top - bottom)) - 1) << bottom)
        self.free |= 1

    def up(self, heights: int, by: int) -> int:
        return heights << by

    def down(self, heights: int, by: int) -> int:
        return heights >> by

    def without(self, heights: int, others: int) -> int:
        return heights & ~others

    def joints(self, heights: int) -> int:
        return heights & self.free

    def tops(self, heights: int) -> int:
        return heights >> self.required << self.required

    def between(self, heights: int, low: int, high: int) -> int:
        low = max(0, low)
        return heights & (((1 << (high + 1)) - 1) >> low << low) if high >= low else 0

    def lowest(self, heights: int) -> int:
        return (heights & -heights).bit_length() - 1

    def one(self, height: int) -> int:
        return 1 << height

    def each(self, heights: int) -> Iterator[int]:
        while heights:
            lowest = heights & -heights
            yield lowest.bit_length() - 1
            heights ^= lowest


class _Listed:
    """Heights one by one, for lengths that share no measure to count in."""

    start: frozenset[int] = frozenset({0})
    empty: frozenset[int] = frozenset()

    def __init__(self, task: Task) -> None:
        self.required = task.required
        self.zones = task.zones

    def up(self, heights: frozenset[int], by: int) -> frozenset[int]:
        return frozenset(height + by for height in heights)

    def down(self, heights: frozenset[int], by: int) -> frozenset[int]:
        return frozenset(height - by for height in heights if height >= by)

    def without(self, heights: frozenset[int], others: frozenset[int]) -> frozenset[int]:
        return heights - others

    def joints(self, heights: frozenset[int]) -> frozenset[int]:
        return frozenset(
            height
            for height in heights
            if height < self.required and not any(low < height < high for low, high in self.zones)
        )

    def tops(self, heights: frozenset[int]) -> frozenset[int]:
        return frozenset(height for height in heights if height >= self.required)

    def between(self, heights: frozenset[int], low: int, high: int) -> frozenset[int]:
        return frozenset(height for height in heights if low <= height <= high)

    def lowest(self, heights: frozenset[int]) -> int:
        return min(heights)

    def one(self, height: int) -> frozenset[int]:
        return frozenset({height})

    def each(self, heights: frozenset[int]) -> Iterator[int]:
        return iter(heights)


def best_stacks(task: Task) -> Stacks | None:
    """Find the stack of least height, then fewest pieces, then least cost, then the longest pieces lowest.

    Parameters
    ----------
    task : Task
        What to stack; lengths sorted as ties are to be broken

    Returns
    -------
    Stacks or None
        The best stack and those with fewer pieces; None where no stack keeps its joints out of the zones

    Notes
    -----
    Pieces of which there are only so many are counted along the way only once the search has asked for more
    of them than there are: what is best without that limit and keeps it is best with it.
    """
    counted: tuple[int, ...] = ()
    while True:
        found = _search(task, counted)
        if found is None:
            return None
        over = {index for stack in (found.best, *found.fewer) for index in _beyond_stock(task, stack)}
        if not over:
            return found
        counted = tuple(sorted({*counted, *over}))


def in_measure(task: Task) -> Task:
    """Write a task in the coarsest measure that fits its lengths, or in a fine one that surely fits.

    Parameters
    ----------
    task : Task
        A task in a fine unit of length

    Returns
    -------
    Task
        The same task in a unit that its search can walk

    Notes
    -----
    Lengths read from a sheet share a measure, such as a sixteenth of an inch or a millimetre, and stay
    exact. Where they share none and make too many stacks to list, they are cut down to a grid as fine as
    can be walked, half a micrometre at ten metres, and the zones are widened by what that may hide.
    """
    unit = math.gcd(*task.lengths, task.pair.rise if task.pair else 0)
    pieces = task.required // min(task.lengths) + 2
    if task.required // unit > _WIDEST_GRID:
        if math.comb(len(task.lengths) + pieces, pieces) <= _MOST_LISTED:
            return task
        unit = task.required // _WIDEST_GRID + 1
    hidden = 0 if all(length % unit == 0 for length in task.lengths) else pieces
    pair = task.pair
    return replace(
        task,
        required=-(-task.required // unit),
        lengths=tuple(length // unit for length in task.lengths),
        zones=tuple((low // unit - hidden, -(-high // unit)) for low, high in task.zones),
        spare=(task.required + task.spare) // unit - -(-task.required // unit),
        pair=pair
        and Pair(
            pair.rise // unit, -(-pair.lowest // unit), (pair.highest // unit) - (hidden and hidden + 1)
        ),
    )


def _beyond_stock(task: Task, stack: Stack) -> set[int]:
    return {
        index
        for index, limit in enumerate(task.limits)
        if limit != UNLIMITED and stack.order.count(index) > limit
    }


@dataclass
class _Walk:
    """Heights reached by each count of pieces, joints and tops apart, by what was used of counted pieces."""

    task: Task
    space: _Heights
    counted: tuple[int, ...]
    joints: list[dict[Usage, Any]] = field(default_factory=list)
    tops: list[dict[Usage, Any]] = field(default_factory=list)

    def moves(self, usage: Usage) -> Iterator[tuple[int, int, Usage]]:
        """Pieces that may follow: place in the lengths, height, and what is used then. The pair is first."""
        if self.task.pair and not usage[0]:
            yield -1, self.task.pair.rise, (1, *usage[1:])
        for index, length in enumerate(self.task.lengths):
            if index not in self.counted:
                yield index, length, usage
                continue
            at = 1 + self.counted.index(index)
            if usage[at] < self.task.limits[index]:
                yield index, length, (*usage[:at], usage[at] + 1, *usage[at + 1 :])

    def room_for(self, index: int, heights: Any) -> Any:
        """Heights of those given on which the piece may stand."""
        pair = self.task.pair
        if index != -1 or pair is None:
            return heights
        return self.space.between(heights, pair.lowest, pair.highest - pair.rise)

    def run(self) -> None:
        space, task = self.space, self.task
        limited = bool(task.limits) and UNLIMITED not in task.limits
        layer = {(0,) * (1 + len(self.counted)): space.start}
        seen: dict[Usage, Any] = {}
        while layer:
            self.joints.append(layer)
            reached: dict[Usage, Any] = {}
            for usage, heights in layer.items():
                for index, length, used in self.moves(usage):
                    stood_on = self.room_for(index, heights)
                    reached[used] = reached.get(used, space.empty) | space.up(stood_on, length)
            self.tops.append(self._finished(reached))
            layer = {}
            for usage, heights in reached.items():
                # Whatever gets to a height with fewer pieces does for all that follows.
                fresh = space.without(space.joints(heights), seen.get(usage, space.empty))
                if limited:
                    fresh = space.between(fresh, task.required - self._left(usage), task.required)
                if fresh:
                    layer[usage] = fresh
                    seen[usage] = seen.get(usage, space.empty) | fresh

    def _left(self, usage: Usage) -> int:
        """Height that all that is left in stock would still add."""
        task = self.task
        left = sum(limit * length for limit, length in zip(task.limits, task.lengths, strict=True))
        left -= sum(used * task.lengths[index] for used, index in zip(usage[1:], self.counted, strict=True))
        return left + (task.pair.rise if task.pair and not usage[0] else 0)

    def _finished(self, reached: dict[Usage, Any]) -> dict[Usage, Any]:
        done = {}
        for usage, heights in reached.items():
            if tops := self.space.tops(heights) if usage[0] or not self.task.pair else None:
                done[usage] = tops
        return done

    def lowest(self, tops: dict[Usage, Any]) -> int | None:
        """The lowest top of those given."""
        return min((self.space.lowest(heights) for heights in tops.values()), default=None)

    def stack_to(self, pieces: int, top: int) -> Stack:
        """Least cost, then the earliest lengths lowest, among the stacks of so many pieces to one top."""
        on_the_way = self._on_the_way(pieces, top)
        prices = self._prices(on_the_way) if any(self.task.costs) else None
        (usage,) = on_the_way[0]
        height, order, cost = 0, [], 0
        for layer in range(pieces):
            options = [
                (
                    prices[layer + 1][used, height + length] + self._cost(index) if prices else 0,
                    index,
                    length,
                    used,
                )
                for index, length, used in self.moves(usage)
                if self.room_for(index, self.space.one(height))
                and used in on_the_way[layer + 1]
                and on_the_way[layer + 1][used] & self.space.one(height + length)
            ]
            _, index, length, usage = min(options, key=lambda one: one[:2])
            height += length
            cost += self._cost(index)
            order.append(index)
        return Stack(tuple(order), cost)

    def _cost(self, index: int) -> int:
        return 0 if index == -1 else self.task.costs[index]

    def _on_the_way(self, pieces: int, top: int) -> list[dict[Usage, Any]]:
        """Heights of each layer from which the top is reached, from the bottom up."""
        goal = self.space.one(top)
        layers = [{usage: goal for usage, heights in self.tops[pieces - 1].items() if heights & goal}]
        for below in reversed(self.joints[:pieces]):
            kept: dict[Usage, Any] = {}
            for usage, heights in below.items():
                leads = self.space.empty
                for index, length, used in self.moves(usage):
                    if used in layers[0]:
                        leads |= self.room_for(index, self.space.down(layers[0][used], length))
                if both := heights & leads:
                    kept[usage] = both
            layers.insert(0, kept)
        return layers

    def _prices(self, layers: Sequence[dict[Usage, Any]]) -> list[dict[tuple[Usage, int], int]]:
        """Least cost from each height on the way to the top."""
        prices: list[dict[tuple[Usage, int], int]] = [{}]
        for usage, heights in layers[-1].items():
            prices[0].update({(usage, height): 0 for height in self.space.each(heights)})
        for layer in reversed(layers[:-1]):
            above, here = prices[0], {}
            for usage, heights in layer.items():
                moves = list(self.moves(usage))
                for height in self.space.each(heights):
                    here[usage, height] = min(
                        above[used, height + length] + self._cost(index)
                        for index, length, used in moves
                        if (used, height + length) in above and self.room_for(index, self.space.one(height))
                    )
            prices.insert(0, here)
        return prices


def _search(task: Task, counted: tuple[int, ...]) -> Stacks | None:
    space: _Heights = _Bits(task) if task.required <= 2 * _WIDEST_GRID else _Listed(task)
    walk = _Walk(task, space, counted)
    walk.run()
    lowest = {layer: top for layer, tops in enumerate(walk.tops) if (top := walk.lowest(tops)) is not None}
    if not lowest:
        return None
    most = max(min(lowest.values()), task.required + task.spare)
    best = next(layer for layer, top in lowest.items() if top <= most)
    shorter = [layer for layer in lowest if layer < best]
    fewer = {min(shorter, key=lambda layer: (lowest[layer], layer)), shorter[0]} if shorter else set()
    return Stacks(
        walk.stack_to(best + 1, lowest[best]),
        tuple(walk.stack_to(layer + 1, lowest[layer]) for layer in sorted(fewer, reverse=True)),
    )
