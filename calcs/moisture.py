"""How wet the fuel may be, and what a meter shows for it."""

from __future__ import annotations

from calcs.checks import Check, Limit
from calcs.roof import check_not_negative
from calcs.rulebook import RuleBook

#: The rule is for logs; other fuels come as their makers dry them.
_FUELS = frozenset({"wood"})


def wet_to_dry_basis(wet: float) -> float:
    """Water by dry mass, as meters show it, from water by wet mass, as rules print it.

    Parameters
    ----------
    wet : float
        Mass of water in the mass of the moist fuel [-]

    Returns
    -------
    float
        Mass of water in the mass of the dry fuel, u = w / (1 - w) [-]

    Raises
    ------
    ValueError
        `wet` is negative, or 1 and more.

    Examples
    --------
    >>> round(wet_to_dry_basis(0.20), 4)
    0.25

    References
    ----------
    Definition of the two bases; the inverse of wet = dry / (1 + dry).
    """
    check_not_negative("wet", wet)
    if wet >= 1:
        raise ValueError(f"wet must be below 1, not {wet!r}")
    return wet / (1 - wet)


def moisture_limit(rulebook: RuleBook, fuel: str = "wood") -> Limit | None:
    """Greatest water content of a fuel.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    fuel : str
        wood | pellets | smokeless | coal [-]

    Returns
    -------
    Limit | None
        Share of the wet mass; None for a fuel without such a rule [-]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> moisture_limit(load_rulebook("uk")).maximum, moisture_limit(load_rulebook("uk"), "coal")
    (0.2, None)

    References
    ----------
    Common practice: wood at most 20 % water on the wet basis.
    """
    return rulebook.limit("fuel.moisture", "maximum") if fuel in _FUELS else None


def moisture_check(wet: float | None, rulebook: RuleBook, fuel: str = "wood") -> Check | None:
    """Hold the water content of a fuel against the limit.

    Parameters
    ----------
    wet : float | None
        Mass of water in the mass of the moist fuel; None when not measured [-]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    fuel : str
        wood | pellets | smokeless | coal [-]

    Returns
    -------
    Check | None
        The check; None for a fuel without such a rule [-]

    Raises
    ------
    ValueError
        `wet` is negative, or 1 and more.

    Examples
    --------
    A meter that shows 25 % on the dry basis reads 20 % on the wet one:

    >>> from calcs.rulebook import load_rulebook
    >>> str(moisture_check(0.25 / (1 + 0.25), load_rulebook("us")).outcome)
    'pass'

    References
    ----------
    As for `moisture_limit`.
    """
    if wet is not None:
        wet_to_dry_basis(wet)
    limit = moisture_limit(rulebook, fuel)
    return None if limit is None else Check("fuel.moisture", wet, limit)
