"""Whether the connector between appliance and chimney keeps its limits."""

from __future__ import annotations

from calcs.checks import Check, Outcome
from calcs.connector import connector_limits
from calcs.findings.finding import Finding
from calcs.room_limits import connector_outside
from calcs.units import format_quantity
from calcs.wall_limits import VENTILATED
from calcs.wording import Wording, sheet_thickness
from calcs.workings import Workings

_PREFIX = "connector."


def connector(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say which limit the connector misses, or how it is made where it keeps them all.

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
        The finding; None while a measure of it is missing
    """
    held = {one.name.removeprefix(_PREFIX): one for one in checks if one.name.startswith(_PREFIX)}
    short = [_short(name, check, say) for name, check in held.items() if check.outcome is Outcome.FAIL]
    clearance = held.get("clearance")
    left = clearance.margin if clearance is not None else None
    if short:
        too_near = clearance is not None and clearance.outcome is Outcome.FAIL
        return Finding("connector", Outcome.FAIL, " ".join(short), left if too_near else None)
    if not held or any(check.outcome is Outcome.UNKNOWN for check in held.values()):
        return None
    spare = f"; {say.most(max(left, 0.0))} is left to combustible material" if left is not None else ""
    return Finding(
        "connector",
        Outcome.PASS,
        f"The connector keeps its limits{spare}. {_made(workings, say)}".strip(),
        left,
    )


def _short(name: str, check: Check, say: Wording) -> str:
    measured, limit = check.measured or 0.0, check.limit
    source = f"({limit.source.reference})" if limit is not None else ""
    least = (limit.minimum if limit is not None else None) or 0.0
    most = (limit.maximum if limit is not None else None) or 0.0
    if name == "clearance":
        return (
            f"The connector runs {say.least(least - measured)} too near combustible material; "
            f"{say.least(least)} is asked for {source}: move it, or put a shield between."
        )
    if name == "elbows":
        return f"The connector has {measured:g} elbows; at most {most:g} are allowed {source}."
    if name == "slope":
        asked = format_quantity(least, "slope", say.system)
        if measured <= 0:
            return (
                "By its length, rise and run the connector falls towards the chimney; it has to rise at "
                f"least {asked} {source}."
            )
        rises = format_quantity(measured, "slope", say.system, rounding="down")
        return f"The connector rises {rises}; at least {asked} is asked for {source}."
    what = {"run": "runs", "length": "is"}.get(name, name)
    rest = {"run": "level", "length": "long"}.get(name, "")
    return (
        f"The connector {what} {say.height(measured, 'up')} {rest}; at most {say.height(most, 'down')} is "
        f"allowed {source}: move the appliance nearer to the chimney."
    )


def _made(workings: Workings, say: Wording) -> str:
    """How the pipe is made and where it may not pass, in the words of the rule book."""
    survey, collar = workings.survey, workings.appliance.collar_diameter
    limits = connector_limits(
        workings.rulebook, kind=survey.connector_kind, diameter=collar, collar_diameter=collar
    )
    told = []
    thickness = limits.get("connector.thickness")
    if thickness is not None and thickness.minimum is not None:
        told.append(f"Its metal is at least {sheet_thickness(thickness.minimum, say.system)} thick.")
    if collar is not None and "connector.diameter" in limits:
        told.append(f"It is nowhere narrower than the {say.length(collar)} collar.")
    sharpest = limits.get("connector.elbow_angle")
    if sharpest is not None and survey.connector_elbows:
        told.append(f"No bend is sharper than {sharpest.maximum:g}°.")
    passage = workings.rulebook.find("connector.passage")
    if passage is not None:
        told.append(passage.as_printed)
    if survey.connector_protection:
        told.append(_shield(workings, say))
    return " ".join(one for one in told if one)


def _shield(workings: Workings, say: Wording) -> str:
    """How the shield between pipe and wall stands, "" where the rule book does not say."""
    survey, book = workings.survey, workings.rulebook
    own = book.value("connector.shield_air_space")
    general = book.value("clearance.air_space") if survey.connector_protection.endswith(VENTILATED) else None
    air = own if own is not None else general
    stands = f"stands at least {say.least(air)} off the wall" if air is not None else ""
    times, outside = book.value("connector.shield_beyond_diameters"), connector_outside(workings)
    reaches = (
        f"reaches {say.least(times * outside)} beyond the pipe on each side"
        if times is not None and outside is not None
        else ""
    )
    told = " and ".join(one for one in (stands, reaches) if one)
    return f"The shield {told}." if told else ""
