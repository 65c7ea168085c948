"""How wide a flue has to be and may be, by the collar, the output and the rule book."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN, Limit, Source, SourceKind
from calcs.roof import check_positive
from calcs.rulebook import Row, RuleBook

_KINDS = ("radiant", "jacketed", "open fire")
_FUELS = ("wood", "pellets", "smokeless", "coal")
_COLLAR = Source(SourceKind.LISTING, "the appliance's collar")
#: Fuels for which the smaller flue of the table hangs on whether the appliance is exempt.
_EXEMPTIBLE = frozenset({"wood", "coal"})


@dataclass(frozen=True)
class FlueSize:
    """Limit on the flue's inside diameter in m, and the rows and rules it rests on.

    `smaller` is the row that would do for an appliance exempt in smoke control areas, where that is not
    known and would make a difference.
    """

    limit: Limit | None
    row: Row | None = None
    smaller: Row | None = None


def net_flue_area(size: str, rulebook: RuleBook) -> float | None:
    """Net area of a flue by its nominal size.

    Parameters
    ----------
    size : str
        Round in inches such as `6`, or a clay liner such as `8x12` [-]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    float | None
        Net area; None when the rule book does not hold that size [m2]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> round(net_flue_area("6", load_rulebook("us")) / 0.0254**2, 6)
    28.0

    References
    ----------
    IRC R1003.14.
    """
    for key in ("chimney.flue_area_round", "chimney.flue_area_clay"):
        table = rulebook.table(key)
        if table is not None and size in table.rows:
            return table.rows[size].one("area")
    return None


def widest_flue(collar_diameter: float, rulebook: RuleBook, *, exterior: bool = False) -> Limit | None:
    """Greatest diameter of a flue, from the multiple of the collar's area the rule book allows.

    Parameters
    ----------
    collar_diameter : float
        Inside diameter of the appliance's collar [m]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    exterior : bool
        Whether one or more sides of the chimney are outdoors below the roof [-]

    Returns
    -------
    Limit | None
        Greatest inside diameter; None when the rule book holds no such rule [m]

    Raises
    ------
    ValueError
        `collar_diameter` is not above zero.

    Examples
    --------
    Three times the area of a 6 in collar:

    >>> from calcs.rulebook import load_rulebook
    >>> round(widest_flue(0.1524, load_rulebook("us")).maximum / 0.0254, 2)
    10.39

    References
    ----------
    IRC, interior chimney; NFPA 211, exterior chimney, second-hand.
    """
    check_positive("collar_diameter", collar_diameter)
    rule = rulebook.find(f"chimney.flue_area.{'exterior' if exterior else 'interior'}")
    if rule is None or rule.value is None:
        return None
    return Limit(None, collar_diameter * math.sqrt(rule.value), "m", rule.source)


def least_flue_row(
    kind: str, fuel: str, output_kw: float | None, rulebook: RuleBook, *, exempt: bool = False
) -> Row | None:
    """Row of the rule book's table of least flue sizes that an appliance falls under.

    Parameters
    ----------
    kind : str
        radiant | jacketed | open fire [-]
    fuel : str
        wood | pellets | smokeless | coal [-]
    output_kw : float | None
        Rated output, None when not known [kW]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    exempt : bool
        Whether the appliance is exempt for its fuel in smoke control areas [-]

    Returns
    -------
    Row | None
        The row; None when the book has no table, no row fits or the output is not known [m]

    Raises
    ------
    ValueError
        The kind or the fuel is not known, or the output is not above zero.

    Notes
    -----
    The row of an open fire is for an opening up to 500 by 550 mm; a larger one is reckoned by its opening,
    which the table does not hold. No row names pellets: the appliance's own sheet sizes their flue.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> uk = load_rulebook("uk")
    >>> least_flue_row("radiant", "wood", 7, uk).one("diameter")
    0.15
    >>> least_flue_row("radiant", "wood", 7, uk, exempt=True).one("diameter")
    0.125

    References
    ----------
    Approved Document J, Table 2, second-hand.
    """
    if kind not in _KINDS:
        raise ValueError(f"kind must be one of {', '.join(_KINDS)}, not {kind!r}")
    if fuel not in _FUELS:
        raise ValueError(f"fuel must be one of {', '.join(_FUELS)}, not {fuel!r}")
    if output_kw is not None:
        check_positive("output_kw", output_kw)
    table = rulebook.table("chimney.flue_size")
    if table is None:
        return None
    if kind == "open fire":
        return table.rows.get("open")
    if output_kw is None or fuel == "pellets":
        return None
    clean = fuel == "smokeless" or (exempt and fuel in _EXEMPTIBLE)
    for key in ("closed_20_smokeless", "closed_30", "closed_50"):
        row = table.rows.get(key)
        if row is None or (key.endswith("smokeless") and not clean):
            continue
        most = row.one("output_up_to")
        if most is not None and output_kw * 1000 <= most + EQUAL_WITHIN:
            return row
    return None


def flue_size(
    rulebook: RuleBook,
    *,
    collar_diameter: float | None = None,
    kind: str = "radiant",
    fuel: str = "wood",
    output_kw: float | None = None,
    exterior: bool = False,
    exempt: bool | None = None,
) -> FlueSize:
    """Least and greatest inside diameter of a flue.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    collar_diameter : float | None
        Inside diameter of the appliance's collar, None when not known [m]
    kind : str
        radiant | jacketed | open fire [-]
    fuel : str
        wood | pellets | smokeless | coal [-]
    output_kw : float | None
        Rated output, None when not known [kW]
    exterior : bool
        Whether one or more sides of the chimney are outdoors below the roof [-]
    exempt : bool | None
        Whether the appliance is exempt for its fuel in smoke control areas; None when not known, which asks
        for the larger flue [-]

    Returns
    -------
    FlueSize
        The limit, without one when neither collar nor table gives any [m]

    Raises
    ------
    ValueError
        A figure is not above zero, or the kind or the fuel is not known.

    Notes
    -----
    The flue is nowhere smaller than the collar; where a table asks for more, the table rules.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = flue_size(load_rulebook("uk"), collar_diameter=0.125, output_kw=7)
    >>> found.limit.minimum, found.smaller.one("diameter")
    (0.15, 0.125)

    References
    ----------
    IRC; NFPA 211, second-hand; Approved Document J, Table 2, second-hand.
    """
    row = least_flue_row(kind, fuel, output_kw, rulebook, exempt=exempt is True)
    smaller = None
    if exempt is None and row is not None:
        other = least_flue_row(kind, fuel, output_kw, rulebook, exempt=True)
        smaller = other if other is not None and other.key != row.key else None
    least = row.one("diameter") if row is not None else None
    if collar_diameter is None:
        limit = None if least is None or row is None else Limit(least, None, "m", row.source)
        return FlueSize(limit, row, smaller)
    widest = widest_flue(collar_diameter, rulebook, exterior=exterior)
    rule = rulebook.find("chimney.flue_area.least")
    source = rule.source if rule else _COLLAR
    minimum = collar_diameter
    if least is not None and row is not None and least > collar_diameter + EQUAL_WITHIN:
        minimum, source = least, row.source
    return FlueSize(Limit(minimum, widest.maximum if widest else None, "m", source), row, smaller)
