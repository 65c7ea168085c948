"""Clearance to combustible walls and ceilings, and what a protection takes off it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.checks import EQUAL_WITHIN, Limit, Source, SourceKind
from calcs.lengths import format_both
from calcs.roof import check_positive
from calcs.rulebook import Row, RuleBook, Table, as_rulebook
from calcs.steps import Step

#: Words people use, by the side of the protection tables they mean.
POSITIONS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("wall", "side", "sides", "rear", "back", "sides and rear"), "wall"),
        **dict.fromkeys(("ceiling", "above"), "ceiling"),
    }
)
#: Column of the grid table for each.
_GRID_SIDE = {"wall": "sides", "ceiling": "above"}
_LISTING = Source(SourceKind.LISTING, "the appliance's listed instructions")


@dataclass(frozen=True)
class Clearance:
    """Least clearance in m, the source that ruled, and the working as sentences.

    `reduced` tells whether the protection took anything off; `reckoning` holds the same working with its
    figures apart from the words.
    """

    required: float
    source: Source
    steps: tuple[str, ...]
    reduced: bool
    reckoning: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Protection:
    """A wall or ceiling protection the rule book knows."""

    key: str
    name: str
    positions: tuple[str, ...]


def protections(rulebook: RuleBook) -> tuple[Protection, ...]:
    """Protections a rule book gives a reduction for.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    tuple[Protection, ...]
        Key, name and the positions it may protect; empty when the book has no table [-]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> [one.key for one in protections(load_rulebook("ca"))][:2]
    ['metal_ventilated', 'tile_on_board_ventilated']
    """
    table = rulebook.table("clearance.grid") or rulebook.table("clearance.reduction")
    if table is None:
        return ()
    fields = _GRID_SIDE if table.columns else {"wall": "wall", "ceiling": "ceiling"}
    return tuple(
        Protection(
            row.key,
            row.name,
            tuple(
                position
                for position, cell in fields.items()
                if any(one is not None for one in row.figures.get(cell, ()))
            ),
        )
        for row in table.rows.values()
    )


def unlisted_clearance(kind: str, position: str, rulebook: RuleBook) -> Limit | None:
    """Clearance an unlisted solid-fuel appliance keeps to unprotected combustible material.

    Parameters
    ----------
    kind : str
        radiant | jacketed | open fire [-]
    position : str
        rear | side | front | above [-]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    Limit | None
        Least clearance, None when the book does not hold it [m]

    Raises
    ------
    ValueError
        The kind or the position is not known.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> round(unlisted_clearance("radiant", "rear", load_rulebook("us")).minimum / 0.0254, 6)
    36.0

    References
    ----------
    UMC 2012; CSA B365.
    """
    if kind not in {"radiant", "jacketed", "open fire"}:
        raise ValueError(f"kind must be radiant, jacketed or open fire, not {kind!r}")
    if position not in {"rear", "side", "front", "above"}:
        raise ValueError(f"position must be rear, side, front or above, not {position!r}")
    return rulebook.limit(f"clearance.unlisted.{kind.replace(' ', '_')}.{position}")


def reduced_clearance(
    unprotected: float,
    protection: str,
    position: str,
    rulebook: RuleBook | str,
    solid_fuel: bool = True,
    *,
    listed: bool = False,
    reduction_allowed: bool | None = None,
    source: Source | None = None,
) -> Clearance:
    """Least clearance with a protected wall or ceiling.

    Parameters
    ----------
    unprotected : float
        Clearance to unprotected combustible material, by listing or rule book [m]
    protection : str
        Key of a protection in the rule book's table; "" for none [-]
    position : str
        wall, side, rear | ceiling, above [-]
    rulebook : RuleBook or str
        Rule book of the jurisdiction [-]
    solid_fuel : bool
        Whether the floors for solid fuel bind [-]
    listed : bool
        Whether `unprotected` is the figure of a listed appliance or connector [-]
    reduction_allowed : bool | None
        Whether the listed appliance's instructions allow the reduction; None when they are not known, which
        gives none [-]
    source : Source | None
        Where `unprotected` comes from, to be named when nothing is taken off [-]

    Returns
    -------
    Clearance
        Least clearance, what ruled and the steps; never more than `unprotected` [m]

    Raises
    ------
    ValueError
        `unprotected` is not above zero, or the protection or the position is not known.

    Notes
    -----
    Where a rule book holds a grid by clearance and a table of percentages, both are followed for solid fuel
    and the stricter rules. The grid's notes allow no interpolation: between two columns the next larger one
    rules, and beyond the largest only the percentage, for which any figure may be put in. Without a table
    the unprotected clearance stays.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = reduced_clearance(0.9144, "metal_ventilated", "wall", load_rulebook("us"))
    >>> round(found.required / 0.0254, 3)
    12.0
    >>> for step in found.steps:
    ...     print(step)
    Unprotected clearance: 36 in (914 mm).
    IRC Table M1306.2 (grid as G2409.2), 0.024 in sheet metal, ventilated air space: 12 in (305 mm).
    NFPA 211 table of clearance reduction, less 66.7 %: 12 in (305 mm).
    Both are followed, the stricter rules: they agree.
    Required: 12 in (305 mm).

    References
    ----------
    IRC Table M1306.2, 2018; NFPA 211 and CSA B365, tables of clearance reduction, second-hand.
    """
    rulebook = as_rulebook(rulebook)
    check_positive("unprotected", unprotected)
    if position not in POSITIONS:
        raise ValueError(f"position must be one of {', '.join(POSITIONS)}, not {position!r}")
    given = source or (_LISTING if listed else _own_source(rulebook))
    steps = [_line("Unprotected clearance", unprotected, given, symbol="u")]
    side = POSITIONS[position]
    case = _Case(unprotected, protection, side, rulebook, solid_fuel, listed, reduction_allowed)
    if refusal := _refusal(case):
        return _answer(unprotected, given, [*steps, refusal])

    found = _from_tables(case, steps)
    if found is None:
        steps.append(_line("No reduction is permitted there; the unprotected clearance stays", unprotected))
        return _answer(unprotected, given, steps)
    required, ruling = found
    floor = rulebook.find(f"clearance.floor.{side}") if solid_fuel else None
    if floor and floor.value is not None and required < floor.value - EQUAL_WITHIN:
        required, ruling = floor.value, floor.source
        words = f"{ruling.reference}: solid fuel never stands nearer to a {side}"
        steps.append(_line(words, required, ruling))
    if required >= unprotected - EQUAL_WITHIN:
        words = "That takes nothing off; the unprotected clearance stays"
        steps.append(_line(words, unprotected, given))
        return _answer(unprotected, given, steps)
    steps.append(_line("Required", required, ruling, symbol="c", rounding="up"))
    return _answer(required, ruling, steps, reduced=True)


@dataclass(frozen=True)
class _Line:
    """A step with the way its figure is rounded in a sentence."""

    step: Step
    rounding: str = "nearest"

    @property
    def sentence(self) -> str:
        if self.step.result is None:
            return f"{self.step.says}."
        return f"{self.step.says}: {format_both(self.step.result, self.rounding)}."


def _line(
    says: str,
    result: float | None = None,
    source: Source | None = None,
    *,
    symbol: str = "",
    relation: str = "",
    rounding: str = "nearest",
) -> _Line:
    unit, kind = ("m", "length") if result is not None else ("", "")
    return _Line(Step(says, relation, symbol, result, unit, kind, source), rounding)


def _answer(required: float, source: Source, lines: list[_Line], *, reduced: bool = False) -> Clearance:
    return Clearance(
        required,
        source,
        tuple(line.sentence for line in lines),
        reduced,
        tuple(line.step for line in lines),
    )


def _own_source(rulebook: RuleBook) -> Source:
    rule = rulebook.find("clearance.unlisted.radiant.rear")
    return rule.source if rule else Source(SourceKind.CODE, rulebook.title, rulebook.edition)


@dataclass(frozen=True)
class _Case:
    unprotected: float
    protection: str
    side: str
    rulebook: RuleBook
    solid_fuel: bool
    listed: bool
    reduction_allowed: bool | None


def _refusal(case: _Case) -> _Line | None:
    """Say why no table is opened at all."""
    if not case.protection:
        return _line("No protection, so nothing is taken off")
    known = protections(case.rulebook)
    if not known:
        return _line(
            f"{case.rulebook.title}: the rule book holds no table of protections; nothing is taken off"
        )
    if case.protection not in {one.key for one in known}:
        raise ValueError(
            f"protection must be one of {', '.join(one.key for one in known)}, not {case.protection!r}"
        )
    if not case.listed:
        return None
    if not case.reduction_allowed:
        why = "are not known to allow" if case.reduction_allowed is None else "do not allow"
        return _line(f"The listed instructions {why} a reduction; nothing is taken off")
    bound = case.rulebook.find("clearance.no_reduction_at") if case.solid_fuel else None
    if bound is not None and bound.value is not None and case.unprotected <= bound.value + EQUAL_WITHIN:
        return _line(f"Listed at {format_both(bound.value)} or less: no reduction", source=bound.source)
    return None


def _from_tables(case: _Case, steps: list[_Line]) -> tuple[float, Source] | None:
    """Return the stricter answer of the tables, None when one of them permits nothing."""
    answers = []
    grid, percent = case.rulebook.table("clearance.grid"), case.rulebook.table("clearance.reduction")
    if grid is not None and case.unprotected <= max(grid.columns) + EQUAL_WITHIN:
        answers.append(_from_grid(case, grid, steps))
    if percent is not None and (case.solid_fuel or grid is None):
        answers.append(_from_percent(case, percent.rows[case.protection], steps))
    permitted = [one for one in answers if one is not None]
    if not permitted or len(permitted) < len(answers):
        return None
    strictest = max(permitted, key=lambda one: one[0])
    if len(permitted) > 1:
        least = min(one[0] for one in permitted)
        why = "they agree" if strictest[0] - least <= EQUAL_WITHIN else f"{strictest[1].reference} rules"
        steps.append(_line(f"Both are followed, the stricter rules: {why}"))
    return strictest


def _from_grid(case: _Case, table: Table, steps: list[_Line]) -> tuple[float, Source] | None:
    row = table.rows[case.protection]
    at, column = min(
        ((at, head) for at, head in enumerate(table.columns) if head >= case.unprotected - EQUAL_WITHIN),
        key=lambda one: one[1],
    )
    figure = row.figures[_GRID_SIDE[case.side]][at]
    between = column > case.unprotected + EQUAL_WITHIN
    rounding = f", column {format_both(column)} as nothing is interpolated" if between else ""
    told = f"{row.source.reference}, {row.name}{rounding}"
    if figure is None:
        steps.append(_line(f"{told}: not permitted", source=row.source))
        return None
    steps.append(_line(told, figure, row.source))
    return figure, row.source


def _from_percent(case: _Case, row: Row, steps: list[_Line]) -> tuple[float, Source] | None:
    share = row.one(case.side)
    if share is None:
        steps.append(_line(f"{row.source.reference}, {row.name}: not permitted", source=row.source))
        return None
    required = case.unprotected * (1 - share)
    least = row.one(f"{case.side}_least") if case.solid_fuel else None
    told, relation = "", f"u × (1 − {share * 100:.3g} %)"
    if least is not None and required < least - EQUAL_WITHIN:
        told, relation = f", but never under {format_both(least)}", f"the larger of {relation} and the least"
        required = least
    says = f"{row.source.reference}, less {share * 100:.3g} %{told}"
    steps.append(_line(says, required, row.source, relation=relation))
    return required, row.source
