"""How a protection stands between appliance and wall: its air space, its open edges, how far it reaches."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN, Limit, Source
from calcs.roof import check_not_negative, check_positive
from calcs.rulebook import RuleBook

#: Limit -> (rule, side of the limit).
_RULES = {
    "protection.air_space": ("clearance.air_space", "minimum"),
    "protection.open_bottom": ("clearance.open_edge", "minimum"),
    "protection.open_top": ("clearance.open_top", "minimum"),
    "protection.beyond": ("clearance.shield_beyond", "minimum"),
    "protection.above": ("clearance.shield_above", "minimum"),
}


@dataclass(frozen=True)
class HearthWall:
    """Solid non-combustible wall beside a hearth or an appliance [m]; heights from where they are named."""

    thickness: float
    above_appliance: float | None
    above_hearth: float | None
    source: Source


def shield_reach(unprotected: float, distance: float) -> float:
    """How far a protection reaches beyond the appliance so that no bare wall is too near.

    Parameters
    ----------
    unprotected : float
        Clearance to unprotected combustible material [m]
    distance : float
        Distance of the appliance from the wall behind the protection [m]

    Returns
    -------
    float
        Least reach beyond the appliance's edge, along the wall; 0 where the wall is far enough bare [m]

    Raises
    ------
    ValueError
        `unprotected` is not above zero or `distance` is negative.

    Notes
    -----
    The straight line from the appliance's edge to the first bare spot of the wall is the unprotected
    clearance: reach = √(unprotected² − distance²).

    Examples
    --------
    36 in unprotected, standing 12 in off: nearly 34 in beyond each side and above.

    >>> round(shield_reach(36 * 0.0254, 12 * 0.0254) / 0.0254, 2)
    33.94

    References
    ----------
    IRC M1306.2, figures, from memory; plane geometry.
    """
    check_positive("unprotected", unprotected)
    check_not_negative("distance", distance)
    if distance >= unprotected:
        return 0.0
    return math.sqrt((unprotected - distance) * (unprotected + distance))


def shield_limits(
    rulebook: RuleBook, *, unprotected: float | None = None, distance: float | None = None
) -> dict[str, Limit]:
    """Limits a protection on a wall is built to.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    unprotected : float | None
        Clearance to unprotected combustible material, needed where the reach follows from it [m]
    distance : float | None
        Distance of the appliance from that wall, as reduced or as measured [m]

    Returns
    -------
    dict[str, Limit]
        protection.air_space, .open_bottom, .open_top, .beyond, .above; what no source gives is absent [m]

    Raises
    ------
    ValueError
        `unprotected` is not above zero or `distance` is negative.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> limits = shield_limits(load_rulebook("ca"))
    >>> limits["protection.air_space"].minimum, limits["protection.beyond"].minimum
    (0.021, 0.45)

    References
    ----------
    IRC Table M1306.2, notes; CSA B365, second-hand and from memory.
    """
    limits: dict[str, Limit] = {}
    for name, (key, side) in _RULES.items():
        rule = rulebook.find(key)
        ranged = rule is not None and rule.upper is not None
        if limit := rulebook.limit(key, "range" if ranged else side):
            limits[name] = limit
    if edge := rulebook.limit("clearance.open_edge"):
        limits.setdefault("protection.open_top", edge)
    reach = rulebook.find("clearance.shield_reach")
    if reach is not None and unprotected is not None and distance is not None:
        beyond = Limit(shield_reach(unprotected, distance), None, "m", reach.source)
        limits["protection.beyond"] = limits["protection.above"] = beyond
    return limits


def hearth_wall(distance: float, rulebook: RuleBook, *, hearth_meets_wall: bool = True) -> HearthWall | None:
    """Wall that has to stand beside a hearth or an appliance.

    Parameters
    ----------
    distance : float
        From the appliance to the wall where the hearth meets it, else from the hearth to the wall [m]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    hearth_meets_wall : bool
        Whether the hearth runs up to the wall [-]

    Returns
    -------
    HearthWall | None
        Its thickness and heights; None where the rule book asks for none [m]

    Raises
    ------
    ValueError
        `distance` is negative.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> hearth_wall(0.15, load_rulebook("uk")).thickness
    0.075
    >>> hearth_wall(0.45, load_rulebook("uk")) is None
    True

    References
    ----------
    Approved Document J, table of walls beside a hearth, from memory.
    """
    check_not_negative("distance", distance)
    table = rulebook.table("clearance.hearth_wall")
    if table is None:
        return None
    keys = ("appliance_close", "appliance_near") if hearth_meets_wall else ("hearth_near",)
    for row in (table.rows[key] for key in keys):
        up_to, thickness = row.one("up_to"), row.one("thickness")
        if up_to is not None and thickness is not None and distance <= up_to + EQUAL_WITHIN:
            return HearthWall(thickness, row.one("above_appliance"), row.one("above_hearth"), row.source)
    return None
