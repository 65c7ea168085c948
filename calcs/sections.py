"""Chimney sections: which lengths to stack so that the joints stay where they may be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from calcs.section_plan import ELBOW_PAIR, FewerPieces, Offset, PlacedSection, SectionPlan
from calcs.stacking import UNLIMITED, Pair, Stack, Stacks, Task, best_stacks, in_measure
from calcs.survey import ChimneySection

__all__ = [
    "FewerPieces",
    "Offset",
    "PlacedSection",
    "SectionPlan",
    "between_for_run",
    "braces_needed",
    "choose_sections",
    "offset_pair",
]

#: Heights are compared in whole nanometres: every 1/64 in and every millimetre is a whole number of them.
_NANOMETRE = 1e-9
_COST_UNIT = 1e-4
#: No section is made shorter, and no factory-built chimney is stacked higher [m]. From memory.
SHORTEST_SECTION = 0.005
TALLEST_STACK = 100.0


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
    spare: float = 0.0,
    stock: Mapping[str, int] | None = None,
    offset: Offset | None = None,
    offset_between: tuple[float, float] | None = None,
) -> SectionPlan:
    """Choose the stack of sections that reaches a height.

    Parameters
    ----------
    required : float
        Height to reach above the first joint [m]
    available : iterable of ChimneySection or float
        Sections to choose from, any number of each; a bare number is an effective length [m]
    forbidden_zones : iterable of (float, float)
        Heights above the first joint between which no joint may lie [m]; an edge is allowed
    supported_height : float, optional
        Greatest height the support carries [m]
    above_roof : float, optional
        How much of `required` stands above the roof [m]
    brace_threshold : float, optional
        Greatest height above the roof that stands unbraced [m]
    spare : float
        Over-run that is accepted to save pieces [m]
    stock : mapping of str to int, optional
        How many there are of a section, by its name; of one not named there are any number [-]
    offset : Offset, optional
        Elbow pair that stands in the stack once, whole [m]
    offset_between : (float, float), optional
        Heights above the first joint between which the elbow pair stands; None takes the whole height [m]

    Returns
    -------
    SectionPlan
        Least over-run, then fewest pieces, then least cost when every section has one, then the longest
        pieces lowest; or `feasible` False and the reason. `fewer` tells stacks of fewer pieces.

    Raises
    ------
    ValueError
        If a height is negative or no number, a section adds no height, a zone's ends are the wrong way
        round, or `stock` names a section that is not available.

    Notes
    -----
    Exact: every height that sections can reach is visited, so the first at or above `required` is the
    least, and each height keeps its fewest pieces. With `spare`, fewest pieces come first among the stacks
    that over-run no more than that. A missing cost is no cost of nothing: unless every section has one,
    none is weighed and the stack has none. The upper end of the stack carries the cap and is no joint.
    Lengths of a sheet, in fractions of an inch or in millimetres, are compared exactly; lengths without a
    common measure to a tenth of a millimetre, where there are too many stacks to list.

    Examples
    --------
    >>> plan = choose_sections(2.0, [0.9, 0.6, 0.3])
    >>> [piece.effective_length for piece in plan.pieces], round(plan.over_run, 3)
    ([0.9, 0.9, 0.3], 0.1)
    >>> plan = choose_sections(2.0, [0.9, 0.6, 0.3], forbidden_zones=[(0.85, 0.95)])
    >>> [piece.effective_length for piece in plan.pieces]
    [0.6, 0.9, 0.6]
    >>> [piece.effective_length for piece in choose_sections(2.0, [0.9, 0.6, 0.1]).pieces]
    [0.9, 0.9, 0.1, 0.1]
    >>> [piece.effective_length for piece in choose_sections(2.0, [0.9, 0.6, 0.1], spare=0.1).pieces]
    [0.9, 0.6, 0.6]

    References
    ----------
    Shortest path over reachable heights; checked against an integer programme in tests/published.
    """
    for name, value in (("required", required), ("spare", spare)):
        if not math.isfinite(value) or value < 0:
            raise ValueError(f"{name}: {value:g} m has to be a length of nothing or more")
    sections = _as_sections(available)
    zones = _as_zones(forbidden_zones)
    plan = SectionPlan(False, "", required, forbidden_zones=zones, offset=offset)
    if not sections:
        return replace(
            plan, why="No chimney sections are listed: enter the lengths from the chimney's sheet."
        )
    if required > TALLEST_STACK:
        return replace(plan, why="No factory-built chimney stands so high: check the heights measured.")
    priced = all(section.cost is not None for section in sections)
    if supported_height is not None:
        spare = min(spare, max(0.0, supported_height - required))
    task = in_measure(
        Task(
            _nanometres(required),
            tuple(_nanometres(section.effective_length) for section in sections),
            tuple(round((section.cost or 0) / _COST_UNIT) if priced else 0 for section in sections),
            tuple((_nanometres(low), _nanometres(high)) for low, high in zones),
            _limits(sections, stock or {}),
            _nanometres(spare),
            None if offset is None else _as_pair(offset, offset_between or (0.0, required)),
        )
    )
    if not task.required and offset is None:
        stacks: Stacks | None = Stacks(Stack((), 0), ())
    else:
        stacks = best_stacks(task)
    if stacks is None:
        return replace(plan, why=_why_none(task))
    pieces = _place(stacks.best, sections, offset)
    total = pieces[-1].top if pieces else 0.0
    over_run = max(0.0, total - required)
    too_high = supported_height is not None and total > supported_height + _NANOMETRE
    return replace(
        plan,
        feasible=not too_high,
        why="The support does not carry this height: add a support on the way up." if too_high else "",
        pieces=pieces,
        total=total,
        over_run=over_run,
        cost=stacks.best.cost * _COST_UNIT if priced else None,
        braces=(
            braces_needed(above_roof + over_run, brace_threshold)
            if above_roof is not None and brace_threshold is not None
            else None
        ),
        supported_margin=None if supported_height is None else supported_height - total,
        fewer=tuple(_fewer(one, _place(one, sections, offset), required, priced) for one in stacks.fewer),
    )


def _as_sections(available: Iterable[ChimneySection | float]) -> list[ChimneySection]:
    sections = []
    for one in available:
        section = (
            one if isinstance(one, ChimneySection) else ChimneySection(f"{one:g} m", float(one), float(one))
        )
        named = section.name or "a section"
        if not math.isfinite(section.effective_length) or not section.effective_length > 0:
            raise ValueError(f"available: {named} adds no height")
        if section.effective_length < SHORTEST_SECTION:
            raise ValueError(
                f"available: {named} adds only {section.effective_length * 1000:g} mm; "
                f"no section adds less than {SHORTEST_SECTION * 1000:g} mm"
            )
        if section.cost is not None and not 0 <= section.cost < math.inf:
            raise ValueError(f"available: {named} has a cost below nothing or without an end")
        sections.append(section)
    return sorted(sections, key=lambda section: (-section.effective_length, section.cost or 0, section.name))


def _as_zones(forbidden_zones: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    zones = sorted((float(low), float(high)) for low, high in forbidden_zones)
    for low, high in zones:
        if not high >= low:
            raise ValueError(f"forbidden_zones: {low:g} to {high:g} m is the wrong way round")
        if math.isinf(low) or math.isinf(high):
            raise ValueError("forbidden_zones: a zone needs two ends")
    return tuple(zones)


def _limits(sections: Sequence[ChimneySection], stock: Mapping[str, int]) -> tuple[int, ...]:
    names = [section.name for section in sections]
    for name, count in stock.items():
        if name not in names:
            raise ValueError(f"stock: {name!r} is not among the sections; they are {', '.join(names)}")
        if count < 0:
            raise ValueError(f"stock: {count} of {name!r} is below none")
    return tuple(stock.get(name, UNLIMITED) for name in names)


def _as_pair(offset: Offset, between: tuple[float, float]) -> Pair:
    if not offset.rise > 0:
        raise ValueError(f"offset: a rise of {offset.rise:g} m is no elbow pair")
    low, high = between
    if not low <= high:
        raise ValueError(f"offset_between: {low:g} to {high:g} m is the wrong way round")
    return Pair(_nanometres(offset.rise), _nanometres(low), _nanometres(high))


def _why_none(task: Task) -> str:
    """Say what keeps every stack from being one: what is there, the elbow pair, or the zones."""
    if any(limit != UNLIMITED for limit in task.limits) and best_stacks(replace(task, limits=())):
        return "What is in stock does not reach this height: order more, or list another length."
    if task.pair and best_stacks(replace(task, pair=None)):
        return "No stack lets the elbow pair stand whole where it has to: list another length."
    return (
        "Every stack of the listed sections puts a joint where none may be (ceiling or roof): "
        "list another length, or an adjustable section."
    )


def _fewer(stack: Stack, pieces: Sequence[PlacedSection], required: float, priced: bool) -> FewerPieces:
    total = pieces[-1].top
    return FewerPieces(
        tuple(piece.name for piece in pieces if piece.kind != ELBOW_PAIR),
        total,
        max(0.0, total - required),
        stack.cost * _COST_UNIT if priced else None,
    )


def _nanometres(metres: float) -> int:
    return round(metres / _NANOMETRE)


def _place(
    stack: Stack, sections: Sequence[ChimneySection], offset: Offset | None
) -> tuple[PlacedSection, ...]:
    placed = []
    bottom = 0
    for index in stack.order:
        if index >= 0:
            section = sections[index]
            name, length, adds, kind = section.name, section.length, section.effective_length, "section"
        elif offset is not None:
            name, length, adds, kind = _pair_name(offset), offset.rise, offset.rise, ELBOW_PAIR
        top = bottom + _nanometres(adds)
        placed.append(PlacedSection(name, length, adds, bottom * _NANOMETRE, top * _NANOMETRE, kind))
        bottom = top
    return tuple(placed)


def _pair_name(offset: Offset) -> str:
    return f"elbow pair, {offset.angle_degrees:g}°"
