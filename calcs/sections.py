"""Chimney sections: which lengths to stack so that the joints stay where they may be."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from calcs.survey import ChimneySection

#: Heights are compared in whole nanometres: every 1/64 in and every millimetre is a whole number of them.
_NANOMETRE = 1e-9
_COST_UNIT = 1e-4


@dataclass(frozen=True)
class PlacedSection:
    """One section in the stack, with the heights of its ends above the first joint [m]."""

    name: str
    length: float
    effective_length: float
    bottom: float
    top: float


@dataclass(frozen=True)
class SectionPlan:
    """The stack from bottom to top, or why there is none. Heights above the first joint [m]."""

    feasible: bool
    why: str
    required: float
    pieces: tuple[PlacedSection, ...] = ()
    total: float = 0.0
    over_run: float = 0.0
    cost: float | None = None
    forbidden_zones: tuple[tuple[float, float], ...] = ()
    #: Straps or brackets the height above the roof asks for; None when that height is not known.
    braces: int | None = None
    #: Room left below the greatest height the support carries, None when the listing does not say.
    supported_margin: float | None = None

    @property
    def joints(self) -> tuple[float, ...]:
        """Heights of the joints between sections above the first joint [m]."""
        return tuple(piece.top for piece in self.pieces[:-1])

    def counts(self) -> dict[str, int]:
        """How many of each section to load, in the order they are stacked."""
        counted: dict[str, int] = {}
        for piece in self.pieces:
            counted[piece.name] = counted.get(piece.name, 0) + 1
        return counted

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return asdict(self)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> SectionPlan:
        """Rebuild from `to_dict`."""
        return cls(
            **{
                **data,
                "pieces": tuple(PlacedSection(**piece) for piece in data["pieces"]),
                "forbidden_zones": tuple((low, high) for low, high in data["forbidden_zones"]),
            }
        )


@dataclass(frozen=True)
class Offset:
    """An elbow pair: what it adds in height and how far it moves the flue sideways [m]."""

    angle_degrees: float
    between: float
    rise: float
    run: float


@dataclass(order=True)
class _Stack:
    """Best way to reach one height: fewest pieces, then least cost, then longest pieces lowest."""

    count: int
    cost: int
    order: tuple[int, ...] = field(default=())


def _as_sections(available: Iterable[ChimneySection | float]) -> list[ChimneySection]:
    sections = []
    for one in available:
        section = (
            one if isinstance(one, ChimneySection) else ChimneySection(f"{one:g} m", float(one), float(one))
        )
        if not section.effective_length > 0:
            raise ValueError(f"available: {section.name or 'a section'} adds no height")
        if section.cost is not None and section.cost < 0:
            raise ValueError(f"available: {section.name} has a negative cost")
        sections.append(section)
    return sorted(sections, key=lambda section: (-section.effective_length, section.cost or 0, section.name))


def _best_stack(
    required: int,
    lengths: Sequence[int],
    costs: Sequence[int],
    zones: Sequence[tuple[int, int]],
) -> tuple[int, _Stack] | None:
    """Walk the reachable heights upwards; the first one at or above `required` is the least over-run."""
    best = {0: _Stack(0, 0)}
    heights = [0]
    while heights:
        height = heapq.heappop(heights)
        stack = best[height]
        if height >= required:
            return height, stack
        if height and any(low < height < high for low, high in zones):
            continue
        for index, length in enumerate(lengths):
            reached = height + length
            candidate = _Stack(stack.count + 1, stack.cost + costs[index], (*stack.order, index))
            known = best.get(reached)
            if known is None:
                heapq.heappush(heights, reached)
            if known is None or candidate < known:
                best[reached] = candidate
    return None


def braces_needed(above_roof: float, threshold: float) -> int:
    """Braces for a height above the roof: one beyond the threshold, another for each threshold more.

    Parameters
    ----------
    above_roof : float
        Height of the chimney above the roof [m]
    threshold : float
        Greatest height that stands unbraced [m]

    Returns
    -------
    int
        Braces [-]

    Raises
    ------
    ValueError
        If `above_roof` is negative or `threshold` is not positive.

    Examples
    --------
    >>> [braces_needed(feet, 5) for feet in (4, 5, 5.1, 10, 10.1)]
    [0, 0, 1, 1, 2]

    References
    ----------
    Common practice: a brace above 5 ft, the next above 10 ft, unless the listing says otherwise.
    """
    if above_roof < 0:
        raise ValueError(f"above_roof: {above_roof:g} m is negative")
    if not threshold > 0:
        raise ValueError(f"threshold: {threshold:g} m has to be positive")
    return max(0, math.ceil(above_roof / threshold - 1e-9) - 1)


def offset_pair(
    angle_degrees: float, between: float = 0.0, leg: float = 0.0, greatest_angle: float = 30.0
) -> Offset:
    """Rise and run of two elbows with a straight length between them.

    Parameters
    ----------
    angle_degrees : float
        Angle of the elbows from the vertical [degrees]
    between : float
        Effective length of the sections between the elbows [m]
    leg : float
        Length of each elbow's legs along their centre lines [m]
    greatest_angle : float
        Greatest angle allowed [degrees]

    Returns
    -------
    Offset
        Rise and run [m]

    Raises
    ------
    ValueError
        If the angle is not above 0 and at most `greatest_angle`, or a length is negative.

    Examples
    --------
    >>> pair = offset_pair(30, between=1.0, leg=0.1)
    >>> round(pair.rise, 3), round(pair.run, 3)
    (1.239, 0.6)

    References
    ----------
    Plane geometry. Offsets at most 30 degrees from the vertical: UL 103.
    """
    if not 0 < angle_degrees <= greatest_angle:
        raise ValueError(
            f"angle_degrees: {angle_degrees:g} is not allowed; elbows go up to {greatest_angle:g} degrees"
        )
    for name, value in (("between", between), ("leg", leg)):
        if value < 0:
            raise ValueError(f"{name}: {value:g} m is negative")
    angle = math.radians(angle_degrees)
    slanted = between + 2 * leg
    return Offset(angle_degrees, between, 2 * leg + slanted * math.cos(angle), slanted * math.sin(angle))


def between_for_run(run: float, angle_degrees: float, leg: float = 0.0) -> float:
    """Straight length between two elbows that moves the flue sideways by a given run.

    Parameters
    ----------
    run : float
        Sideways move wanted [m]
    angle_degrees : float
        Angle of the elbows from the vertical [degrees]
    leg : float
        Length of each elbow's legs along their centre lines [m]

    Returns
    -------
    float
        Effective length between the elbows [m]

    Raises
    ------
    ValueError
        If the elbows alone already move further than `run`, or the angle is not above 0 and below 90.

    Examples
    --------
    >>> round(between_for_run(0.6, 30, leg=0.1), 6)
    1.0

    References
    ----------
    Plane geometry.
    """
    if not 0 < angle_degrees < 90:
        raise ValueError(f"angle_degrees: {angle_degrees:g} is outside 0 to 90")
    between = run / math.sin(math.radians(angle_degrees)) - 2 * leg
    if between < -_NANOMETRE:
        raise ValueError(f"run: two elbows of {angle_degrees:g} degrees already move further than {run:g} m")
    return max(0.0, between)


def choose_sections(
    required: float,
    available: Iterable[ChimneySection | float],
    forbidden_zones: Iterable[tuple[float, float]] = (),
    *,
    supported_height: float | None = None,
    above_roof: float | None = None,
    brace_threshold: float | None = None,
) -> SectionPlan:
    """Choose the stack of sections that reaches a height.

    Parameters
    ----------
    required : float
        Height to reach above the first joint [m]
    available : iterable of ChimneySection or float
        Sections in stock, any number of each; a bare number is an effective length [m]
    forbidden_zones : iterable of (float, float)
        Heights above the first joint between which no joint may lie [m]; an edge is allowed
    supported_height : float, optional
        Greatest height the support carries [m]
    above_roof : float, optional
        How much of `required` stands above the roof [m]
    brace_threshold : float, optional
        Greatest height above the roof that stands unbraced [m]

    Returns
    -------
    SectionPlan
        Least over-run, then fewest pieces, then least cost when every section has one, then the longest
        pieces lowest; or `feasible` False and the reason

    Raises
    ------
    ValueError
        If a height is negative, a section adds no height, or a zone's ends are the wrong way round.

    Notes
    -----
    Exact: every height that sections can reach is visited from below, so the first at or above `required`
    is the least, and each height keeps only its best stack. The upper end of the stack carries the cap and
    is no joint.

    Examples
    --------
    >>> plan = choose_sections(2.0, [0.9, 0.6, 0.3])
    >>> [piece.effective_length for piece in plan.pieces], round(plan.over_run, 3)
    ([0.9, 0.9, 0.3], 0.1)
    >>> plan = choose_sections(2.0, [0.9, 0.6, 0.3], forbidden_zones=[(0.85, 0.95)])
    >>> [piece.effective_length for piece in plan.pieces]
    [0.6, 0.9, 0.6]

    References
    ----------
    Shortest path over reachable heights; checked against an integer programme in tests/published.
    """
    if required < 0:
        raise ValueError(f"required: {required:g} m is negative")
    sections = _as_sections(available)
    zones = sorted((float(low), float(high)) for low, high in forbidden_zones)
    for low, high in zones:
        if high < low:
            raise ValueError(f"forbidden_zones: {low:g} to {high:g} m is the wrong way round")
    if not sections:
        return SectionPlan(
            False,
            "No chimney sections are listed: enter the lengths from the chimney's sheet.",
            required,
            forbidden_zones=tuple(zones),
        )
    priced = all(section.cost is not None for section in sections)
    found = _best_stack(
        _nanometres(required),
        [_nanometres(section.effective_length) for section in sections],
        [round((section.cost or 0) / _COST_UNIT) if priced else 0 for section in sections],
        [(_nanometres(low), _nanometres(high)) for low, high in zones],
    )
    if found is None:
        return SectionPlan(
            False,
            "Every stack of the listed sections puts a joint where none may be (ceiling or roof): "
            "list another length, or an adjustable section.",
            required,
            forbidden_zones=tuple(zones),
        )
    height, stack = found
    pieces = _place([sections[index] for index in stack.order])
    total = height * _NANOMETRE
    over_run = max(0.0, total - required)
    too_high = supported_height is not None and total > supported_height + _NANOMETRE
    return SectionPlan(
        feasible=not too_high,
        why="The support does not carry this height: add a support on the way up." if too_high else "",
        required=required,
        pieces=pieces,
        total=total,
        over_run=over_run,
        cost=stack.cost * _COST_UNIT if priced else None,
        forbidden_zones=tuple(zones),
        braces=(
            braces_needed(above_roof + over_run, brace_threshold)
            if above_roof is not None and brace_threshold is not None
            else None
        ),
        supported_margin=None if supported_height is None else supported_height - total,
    )


def _nanometres(metres: float) -> int:
    return round(metres / _NANOMETRE)


def _place(stack: Sequence[ChimneySection]) -> tuple[PlacedSection, ...]:
    placed = []
    bottom = 0
    for section in stack:
        top = bottom + _nanometres(section.effective_length)
        placed.append(
            PlacedSection(
                section.name, section.length, section.effective_length, bottom * _NANOMETRE, top * _NANOMETRE
            )
        )
        bottom = top
    return tuple(placed)
