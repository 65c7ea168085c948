"""Clearance of the connector to combustible material, bare and behind a shield."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Limit, Source, SourceKind
from calcs.clearance import Clearance, Protection, protections, reduced_clearance
from calcs.lengths import format_both
from calcs.roof import check_positive
from calcs.rulebook import RuleBook
from calcs.steps import Step

KINDS = ("single wall", "double wall listed")
_LISTING = Source(SourceKind.LISTING, "the connector's or the appliance's listing")


def connector_protections(rulebook: RuleBook) -> tuple[Protection, ...]:
    """Shields between pipe and wall that the rule book knows.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    tuple[Protection, ...]
        The protections of walls, or the book's own shields for flue pipes [-]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> [one.name for one in connector_protections(load_rulebook("uk"))]
    ['non-combustible shield, 12 mm off the wall']

    References
    ----------
    IRC Table M1306.2; CSA B365, second-hand; Approved Document J, Diagram 19, second-hand.
    """
    table = rulebook.table("connector.shields")
    if table is None:
        return protections(rulebook)
    return tuple(Protection(row.key, row.name, ("wall",)) for row in table.rows.values())


def connector_clearance(
    rulebook: RuleBook,
    *,
    kind: str = "single wall",
    outer_diameter: float | None = None,
    protection: str = "",
    position: str = "wall",
    listed_clearance: float | None = None,
) -> Limit | None:
    """Least clearance of the connector to combustible material.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    kind : str
        single wall | double wall listed [-]
    outer_diameter : float | None
        Outside diameter of the pipe, needed where the rule is a multiple of it [m]
    protection : str
        Key of the protection on the wall or ceiling, "" for none [-]
    position : str
        wall | ceiling [-]
    listed_clearance : float | None
        Clearance by the listing of connector or appliance [m]

    Returns
    -------
    Limit | None
        Least clearance, None when neither listing nor rule book gives one [m]

    Raises
    ------
    ValueError
        The kind or protection is not known, or a figure is not above zero.

    Notes
    -----
    A listed connector keeps its listing. A single-wall pipe keeps the stricter of rule book and listing. A
    protection never brings it below the rule book's own figure for a shielded pipe.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> round(connector_clearance(load_rulebook("us")).minimum / 0.0254, 6)
    18.0
    >>> round(connector_clearance(load_rulebook("uk"), outer_diameter=0.153).minimum, 6)
    0.459

    References
    ----------
    IRC Table M1803.3.4; CSA B365, second-hand; Approved Document J, Diagram 19, second-hand.
    """
    found = clearance_by_steps(
        rulebook,
        kind=kind,
        outer_diameter=outer_diameter,
        protection=protection,
        position=position,
        listed_clearance=listed_clearance,
    )
    return None if found is None else Limit(found.required, None, "m", found.source)


def clearance_by_steps(
    rulebook: RuleBook,
    *,
    kind: str = "single wall",
    outer_diameter: float | None = None,
    protection: str = "",
    position: str = "wall",
    listed_clearance: float | None = None,
) -> Clearance | None:
    """Least clearance of the connector with its working.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    kind : str
        single wall | double wall listed [-]
    outer_diameter : float | None
        Outside diameter of the pipe [m]
    protection : str
        Key of the protection on the wall or ceiling, "" for none [-]
    position : str
        wall | ceiling [-]
    listed_clearance : float | None
        Clearance by the listing of connector or appliance [m]

    Returns
    -------
    Clearance | None
        As `connector_clearance`, with the steps [m]

    Raises
    ------
    ValueError
        As for `connector_clearance`.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = clearance_by_steps(load_rulebook("uk"), outer_diameter=0.15, protection="shield")
    >>> for step in found.steps:
    ...     print(step)
    Outside of the pipe: 5 7/8 in (150 mm).
    1.5 times the outside, with a shield: 8 7/8 in (225 mm).
    """
    if kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, not {kind!r}")
    listed = None
    if listed_clearance is not None:
        check_positive("listed_clearance", listed_clearance)
        listed = _worked(listed_clearance, _LISTING, [_step("Listed clearance", listed_clearance, _LISTING)])
    if kind == "double wall listed":
        return listed
    ruled = _single_wall(rulebook, outer_diameter, protection, position)
    if ruled is None or listed is None:
        return ruled or listed
    if listed.required > ruled.required:
        says = "The listing asks for more than the rule book"
        return _worked(listed.required, _LISTING, [*ruled.reckoning, _step(says, listed.required, _LISTING)])
    return ruled


def _single_wall(
    rulebook: RuleBook, outer_diameter: float | None, protection: str, position: str
) -> Clearance | None:
    rule = rulebook.find("connector.clearance.single_wall")
    if rule is None:
        return _by_diameters(rulebook, outer_diameter, protection)
    if rule.value is None:
        return None
    found = reduced_clearance(rule.value, protection, position, rulebook, source=rule.source)
    least = rulebook.find("connector.clearance.single_wall_shielded")
    if least is None or least.value is None or found.required >= least.value - EQUAL_WITHIN:
        return found
    says = f"{least.source.reference}: a shielded pipe never stands nearer than"
    steps = [*found.reckoning, _step(says, least.value, least.source)]
    return _worked(least.value, least.source, steps, reduced=True)


def _by_diameters(rulebook: RuleBook, outer_diameter: float | None, protection: str) -> Clearance | None:
    shield = "_shielded" if protection else ""
    multiple = rulebook.find(f"connector.clearance.single_wall{shield}_diameters")
    if multiple is None or multiple.value is None or outer_diameter is None:
        return None
    check_positive("outer_diameter", outer_diameter)
    required = multiple.value * outer_diameter
    how = "with a shield" if protection else "without a shield"
    steps = [
        Step("Outside of the pipe", "", "D", outer_diameter, "m", "length"),
        Step(
            f"{multiple.value:g} times the outside, {how}",
            f"{multiple.value:g} × D",
            "c",
            required,
            "m",
            "length",
            multiple.source,
        ),
    ]
    return _worked(required, multiple.source, steps, reduced=bool(protection))


def _step(says: str, result: float, source: Source) -> Step:
    return Step(says, "", "", result, "m", "length", source)


def _worked(required: float, source: Source, steps: list[Step], *, reduced: bool = False) -> Clearance:
    told = tuple(
        f"{one.says}." if one.result is None else f"{one.says}: {format_both(one.result)}." for one in steps
    )
    return Clearance(required, source, told, reduced, tuple(steps))
