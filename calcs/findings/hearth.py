"""Whether the floor in front of and under the appliance is protected far and well enough."""

from __future__ import annotations

from calcs.checks import Check, Outcome
from calcs.findings.finding import Finding
from calcs.room_checks import hearth_resistance
from calcs.units import format_quantity
from calcs.wording import Wording
from calcs.workings import Workings

_PREFIX = "hearth."
#: Limit -> how the sentence names what is measured.
_NAMES = {
    "front": "in front",
    "side": "at the sides",
    "rear": "behind",
    "width": "wide",
    "depth": "deep",
    "thickness": "thick",
}


def hearth(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say whether the hearth reaches far enough and keeps the heat off the floor.

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
        The finding; None where neither listing nor rule book asks for anything
    """
    held = {one.name.removeprefix(_PREFIX): one for one in checks if one.name.startswith(_PREFIX)}
    if not held:
        return None
    short = [_short(name, check, say) for name, check in held.items() if check.outcome is Outcome.FAIL]
    if short:
        return Finding("hearth", Outcome.FAIL, " ".join(short), _room(held))
    unknown = [name for name, check in held.items() if check.outcome is Outcome.UNKNOWN]
    if unknown:
        return Finding("hearth", Outcome.UNKNOWN, _not_known(unknown))
    return Finding("hearth", Outcome.PASS, _enough(workings, held, say), _room(held))


def _room(held: dict[str, Check]) -> float | None:
    """Return the least length left; a resistance is no length."""
    lengths = [one.margin for name, one in held.items() if name != "resistance" and one.margin is not None]
    return min(lengths, default=None)


def _short(name: str, check: Check, say: Wording) -> str:
    measured, limit = check.measured or 0.0, check.limit
    least = (limit.minimum if limit is not None else None) or 0.0
    source = limit.source.reference if limit is not None else ""
    if name == "resistance":
        offered = format_quantity(measured, "thermal resistance", say.system, rounding="down")
        asked = format_quantity(least, "thermal resistance", say.system, rounding="up")
        more = format_quantity(least - measured, "thermal resistance", say.system, rounding="up")
        return (
            f"The floor protection's layers add up to {offered}; {asked} is asked for ({source}): add {more}."
        )
    reach = {"width": "is", "depth": "is", "thickness": "is"}.get(name, "reaches")
    return (
        f"The hearth {reach} {say.most(measured)} {_NAMES[name]}; at least {say.least(least)} is asked for "
        f"({source}): {say.least(least - measured)} more."
    )


def _not_known(names: list[str]) -> str:
    lengths = [_NAMES[name] for name in names if name in _NAMES]
    told = []
    if lengths:
        told.append(f"How far the hearth reaches ({', '.join(lengths)}) is not known.")
    if "resistance" in names:
        told.append("What the floor protection is made of is not known: enter its layers.")
    return " ".join(told)


def _enough(workings: Workings, held: dict[str, Check], say: Wording) -> str:
    tight = min(
        (check for name, check in held.items() if name != "resistance"),
        key=lambda one: one.margin if one.margin is not None else 0.0,
        default=None,
    )
    told = []
    if tight is not None and tight.margin is not None:
        told.append(
            f"The hearth reaches as far as is asked for; {say.most(max(tight.margin, 0.0))} is left at the "
            "tightest."
        )
    resistance = held.get("resistance")
    offered = hearth_resistance(workings)
    if resistance is not None and resistance.limit is not None and offered is not None:
        adds_up = format_quantity(offered, "thermal resistance", say.system, rounding="down")
        asked = format_quantity(
            resistance.limit.minimum or 0.0, "thermal resistance", say.system, rounding="up"
        )
        told.append(f"Its layers add up to {adds_up}; {asked} is asked for.")
    thin = workings.appliance.hearth_below_100
    rule = workings.rulebook.find("hearth.board_thickness")
    if rule is not None and thin and "thickness" in held:
        told.append("The thin board is allowed as the sheet says that the hearth stays below 100 °C.")
    return " ".join(told)


def fuel(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say whether the fuel that was measured is dry enough.

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
        The finding; None where nobody measured it
    """
    check = next((one for one in checks if one.name == "fuel.moisture"), None)
    if check is None or check.measured is None or check.limit is None or check.limit.maximum is None:
        return None
    measured, most = check.measured, check.limit.maximum
    shown = format_quantity(measured, "percent", rounding="down" if measured <= most else "up")
    dry = format_quantity(most / (1 - most), "percent")
    if check.outcome is Outcome.PASS:
        sentence = f"The fuel holds {shown} water by wet mass; at most {most * 100:g} % is asked for."
    else:
        sentence = (
            f"The fuel holds {shown} water by wet mass, more than the {most * 100:g} % it may: it soots the "
            f"flue and spoils the draft. Burn wood that a meter on the dry basis shows at {dry} or less."
        )
    return Finding("fuel", check.outcome, sentence, None)
