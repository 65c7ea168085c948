"""Permanent vents that let in the air an appliance burns."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import EQUAL_WITHIN, Source
from calcs.roof import check_not_negative, check_positive
from calcs.rulebook import RuleBook, as_rulebook

_KILOWATT = 1000.0
_HOUR = 3600.0
#: Opening of an open fire -> rule that says what part of its area the vents have.
_OPEN_RULES = {"throat": "air_supply.open_throat", "canopy": "air_supply.open_canopy"}


@dataclass(frozen=True)
class VentRate:
    """Vent area for each watt of one part of the output, in m2/W over W, and the rule it comes from."""

    output: float
    rate: float
    source: Source

    @property
    def area(self) -> float:
        """Vent area for this part [m2]."""
        return self.output * self.rate


def permanent_vent_area(
    output_kw: float,
    rulebook: RuleBook | str,
    air_permeability: float | None,
    draught_stabiliser: bool = False,
) -> float | None:
    """Least free area of permanent vents for a closed solid-fuel appliance.

    Parameters
    ----------
    output_kw : float
        Rated output of the appliance [kW]
    rulebook : RuleBook or str
        Rule book of the jurisdiction [-]
    air_permeability : float | None
        Leakage of the house at 50 Pa in the unit the rule prints; None when not known [m3/(h m2)]
    draught_stabiliser : bool
        Whether the flue has a draught stabiliser [-]

    Returns
    -------
    float | None
        Free area, 0 where no vent is asked for; None when the rule book holds no such rule or the leakage is
        not known [m2]

    Raises
    ------
    ValueError
        `output_kw` is not above zero or `air_permeability` is negative.

    Notes
    -----
    A house just at the bound counts as a tight one. Nothing is guessed where the leakage is not known: the
    tight house asks for the larger vent.

    Examples
    --------
    An appliance of 7 kW, in millimetres squared:

    >>> from calcs.rulebook import load_rulebook
    >>> uk = load_rulebook("uk")
    >>> round(permanent_vent_area(7, uk, 8.0) * 1e6), round(permanent_vent_area(7, uk, 5.0) * 1e6)
    (1100, 3850)
    >>> round(permanent_vent_area(7, uk, 8.0, draught_stabiliser=True) * 1e6)
    3200
    >>> permanent_vent_area(7, load_rulebook("us"), 8.0) is None
    True

    References
    ----------
    Approved Document J, Table 1.
    """
    rulebook = as_rulebook(rulebook)
    rates = vent_rates(output_kw, rulebook, air_permeability, draught_stabiliser)
    return None if rates is None else sum(one.area for one in rates)


def vent_rates(
    output_kw: float,
    rulebook: RuleBook,
    air_permeability: float | None,
    draught_stabiliser: bool = False,
) -> tuple[VentRate, ...] | None:
    """Parts of the output with the vent area each asks for.

    Parameters
    ----------
    output_kw : float
        Rated output of the appliance [kW]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    air_permeability : float | None
        Leakage of the house at 50 Pa, None when not known [m3/(h m2)]
    draught_stabiliser : bool
        Whether the flue has a draught stabiliser [-]

    Returns
    -------
    tuple[VentRate, ...] | None
        The parts, none where no vent is asked for; None as for `permanent_vent_area` [m2/W]

    Raises
    ------
    ValueError
        `output_kw` is not above zero or `air_permeability` is negative.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> [round(one.output) for one in vent_rates(7, load_rulebook("uk"), 8.0, True)]
    [5000, 2000]

    References
    ----------
    Approved Document J, Table 1.
    """
    check_positive("output_kw", output_kw)
    if air_permeability is not None:
        check_not_negative("air_permeability", air_permeability)
    bound = rulebook.value("air_supply.permeability")
    if bound is None or air_permeability is None:
        return None
    output = output_kw * _KILOWATT
    free = rulebook.value("air_supply.free_output") or 0.0
    first, rest = min(output, free), max(output - free, 0.0)
    leaky = air_permeability / _HOUR > bound * (1 + EQUAL_WITHIN)
    if not leaky:
        key = "air_supply.stabiliser.tight" if draught_stabiliser else "air_supply.tight"
        parts = [(output, key)]
    elif draught_stabiliser:
        parts = [(first, "air_supply.stabiliser.leaky_first"), (rest, "air_supply.stabiliser.leaky_rest")]
    else:
        parts = [(rest, "air_supply.leaky")]
    found = []
    for part, key in parts:
        rule = rulebook.find(key)
        if rule is None or rule.value is None:
            return None
        if part > 0:
            found.append(VentRate(part, rule.value, rule.source))
    return tuple(found)


def open_fire_vent_area(opening_area: float, rulebook: RuleBook, opening: str = "throat") -> float | None:
    """Least free area of permanent vents for an open fire.

    Parameters
    ----------
    opening_area : float
        Area of the throat, or of the flue above a canopy [m2]
    rulebook : RuleBook
        Rule book of the jurisdiction [-]
    opening : str
        throat | canopy [-]

    Returns
    -------
    float | None
        Free area; None when the rule book holds no such rule [m2]

    Raises
    ------
    ValueError
        `opening_area` is not above zero or `opening` is not known.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> open_fire_vent_area(0.04, load_rulebook("uk"))
    0.02

    References
    ----------
    Approved Document J, Table 1.
    """
    check_positive("opening_area", opening_area)
    if opening not in _OPEN_RULES:
        raise ValueError(f"opening must be one of {', '.join(_OPEN_RULES)}, not {opening!r}")
    share = rulebook.value(_OPEN_RULES[opening])
    return None if share is None else share * opening_area
