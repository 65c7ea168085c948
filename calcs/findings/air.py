"""Air for the fire, and the alarms that hang where it burns."""

from __future__ import annotations

from calcs.alarms import alarm_limits, alarm_rules
from calcs.checks import EQUAL_WITHIN, Check, Limit, Outcome, Source
from calcs.findings.finding import Finding
from calcs.room_air import AirNeed, air_need
from calcs.steps import Step
from calcs.survey import Appliance
from calcs.units import format_quantity
from calcs.wording import Wording
from calcs.workings import Workings


def air(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say which permanent vents the rule book asks for and whether they are there.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in
    checks : tuple of Check
        Checks of the plan

    Returns
    -------
    Finding or None
        The finding; None where the rule book says nothing of air, or no appliance is chosen
    """
    if workings.appliance == Appliance():
        return None
    book = workings.rulebook
    by_instructions = book.find("air_supply.by_instructions")
    if by_instructions is not None:
        words = f"{_cited(by_instructions.as_printed, by_instructions.source)} {_fans(workings)}"
        return Finding("air", Outcome.PASS, words.strip())
    if book.find("air_supply.permeability") is None:
        return None
    need = air_need(workings)
    if need is None:
        return Finding("air", Outcome.UNKNOWN, "The air vents the appliance needs are not known yet.")
    check = next((one for one in checks if one.name == "air.vent_area"), None)
    return _needed(workings, say, need, check)


def _needed(workings: Workings, say: Wording, need: AirNeed, check: Check | None) -> Finding:
    source = f"({need.source.reference})"
    if need.most <= EQUAL_WITHIN:
        sentence = f"No permanent air vent is asked for {source}. {_fans(workings)}"
        return Finding("air", Outcome.PASS, sentence.strip())
    if check is not None and check.measured is not None:
        return _held(workings, say, check, source)
    least, most = _area(need.least, say, "up"), _area(need.most, say, "up")
    if need.unknown:
        bare = f"between {least} and {most}" if need.least > EQUAL_WITHIN else f"up to {most}"
        sentence = f"The appliance needs {bare} of permanent air vents {source}; how much is not known yet."
    else:
        sentence = f"The appliance needs {most} of permanent air vents {source}; what is there is not known."
    return Finding("air", Outcome.UNKNOWN, sentence)


def _held(workings: Workings, say: Wording, check: Check, source: str) -> Finding:
    given, least = check.measured or 0.0, (check.limit.minimum if check.limit else None) or 0.0
    asked = _area(least, say, "up")
    if check.outcome is Outcome.PASS:
        sentence = (
            f"Permanent air vents of {_area(given, say, 'down')} are planned; at least {asked} is asked for "
            f"{source}. {_fans(workings)}"
        )
    else:
        sentence = (
            f"Permanent air vents of {_area(given, say, 'down')} are planned; at least {asked} is asked for "
            f"{source}: add {_area(least - given, say, 'up')}."
        )
    return Finding("air", check.outcome, sentence.strip(), check.margin, unit="m2")


def _cited(words: str, source: Source) -> str:
    """The rule's sentence with its place before the full stop."""
    return f"{words.removesuffix('.')} ({source.reference})."


def _fans(workings: Workings) -> str:
    rule = workings.rulebook.find("air_supply.extract_fans")
    return rule.as_printed if rule is not None else ""


def _area(value: float, say: Wording, rounding: str) -> str:
    return format_quantity(value, "area", say.system, rounding=rounding)


def alarms(workings: Workings, say: Wording) -> Finding | None:
    """Say where the alarms hang.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None where the rule book says nothing of alarms, or no appliance is chosen
    """
    if workings.appliance == Appliance():
        return None
    limits = alarm_limits(workings.rulebook)
    told = [_cited(rule.words, rule.source) for rule in alarm_rules(workings.rulebook)]
    steps = _alarm_steps(limits)
    if steps:
        workings.working["alarms"] = steps
    near = limits.get("alarm.co_distance")
    if near is not None and near.minimum is not None and near.maximum is not None:
        told.append(
            "Hang a carbon monoxide alarm in the room of the appliance, "
            f"{say.height(near.minimum)} to {say.height(near.maximum)} from it measured level"
            f"{_where(limits, say)} ({near.source.reference})."
        )
    return Finding("alarms", Outcome.PASS, " ".join(told)) if told else None


def _alarm_steps(limits: dict[str, Limit]) -> tuple[Step, ...]:
    words = (
        ("alarm.co_distance", "From the appliance, measured level"),
        ("alarm.co_ceiling_from_wall", "On the ceiling, from any wall"),
        ("alarm.co_wall_below_ceiling", "On a wall, below the ceiling"),
    )
    return tuple(
        Step(f"{says}, {word}", "", "", bound, "m", "length", limits[name].source)
        for name, says in words
        if name in limits
        for word, bound in (("at least", limits[name].minimum), ("at most", limits[name].maximum))
        if bound is not None
    )


def _where(limits: dict[str, Limit], say: Wording) -> str:
    ceiling, wall = limits.get("alarm.co_ceiling_from_wall"), limits.get("alarm.co_wall_below_ceiling")
    ways = []
    if ceiling is not None and ceiling.minimum is not None:
        ways.append(f"on the ceiling at least {say.least(ceiling.minimum)} from any wall")
    if wall is not None and wall.minimum is not None:
        least = say.least(wall.minimum)
        ways.append(f"on a wall at least {least} below the ceiling and above doors and windows")
    return f": {', or '.join(ways)}" if ways else ""
