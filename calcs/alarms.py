"""Where the alarms of a house with a fire hang."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Limit, Source
from calcs.rulebook import RuleBook

#: Limit -> (rule, side of the limit).
_RULES = {
    "alarm.co_distance": ("alarm.co_distance", "range"),
    "alarm.co_ceiling_from_wall": ("alarm.co_ceiling_from_wall", "minimum"),
    "alarm.co_wall_below_ceiling": ("alarm.co_wall_below_ceiling", "minimum"),
}


@dataclass(frozen=True)
class AlarmRule:
    """What a rule book says of alarms in words: carbon monoxide or smoke."""

    kind: str
    words: str
    source: Source


def alarm_limits(rulebook: RuleBook) -> dict[str, Limit]:
    """Limits on where the carbon monoxide alarm hangs.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    dict[str, Limit]
        alarm.co_distance, level from the appliance; .co_ceiling_from_wall; .co_wall_below_ceiling. What the
        book does not hold is absent [m]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> near = alarm_limits(load_rulebook("uk"))["alarm.co_distance"]
    >>> near.minimum, near.maximum, alarm_limits(load_rulebook("us"))
    (1.0, 3.0, {})

    References
    ----------
    Approved Document J, section 2.
    """
    found = {name: rulebook.limit(key, side) for name, (key, side) in _RULES.items()}
    return {name: limit for name, limit in found.items() if limit is not None}


def alarm_rules(rulebook: RuleBook) -> tuple[AlarmRule, ...]:
    """Where alarms hang, where the rule book says it in words.

    Parameters
    ----------
    rulebook : RuleBook
        Rule book of the jurisdiction [-]

    Returns
    -------
    tuple[AlarmRule, ...]
        Carbon monoxide first, then smoke; empty when the book has none [-]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> [rule.kind for rule in alarm_rules(load_rulebook("us"))], alarm_rules(load_rulebook("uk"))
    (['carbon monoxide', 'smoke'], ())

    References
    ----------
    IRC R314 and R315; NBC, from memory.
    """
    found = []
    for kind, key in (("carbon monoxide", "alarm.co"), ("smoke", "alarm.smoke")):
        rule = rulebook.find(key)
        if rule is not None and rule.value is None:
            found.append(AlarmRule(kind, rule.as_printed, rule.source))
    return tuple(found)
