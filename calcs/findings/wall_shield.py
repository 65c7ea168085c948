"""How the protection on a wall is built, and which walls have to be solid."""

from __future__ import annotations

from calcs.checks import Outcome
from calcs.findings.finding import Finding
from calcs.steps import Step
from calcs.wall_limits import protection_limits
from calcs.wall_shield import HearthWall, hearth_wall
from calcs.wording import Wording
from calcs.workings import Workings

_WALLS = (
    ("rear_wall", "hearth_rear", "behind"),
    ("left_wall", "", "on the left"),
    ("right_wall", "", "on the right"),
)


_REACHES = frozenset({"protection.beyond", "protection.above"})
_NAMES = {
    "protection.air_space": "Air space behind the protection",
    "protection.open_bottom": "Open below",
    "protection.open_top": "Open above",
    "protection.beyond": "Reach beyond the appliance's sides",
    "protection.above": "Reach above the appliance",
}


def protection(workings: Workings, say: Wording) -> Finding | None:
    """Say how a protection that takes something off a clearance is built.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None without such a protection
    """
    built = {name: one.minimum or 0.0 for name, one in protection_limits(workings).items()}
    if not built:
        return None
    workings.working["wall protection"] = tuple(
        Step(
            f"{_NAMES[name]}, at least", _relation(workings, name), "", one.minimum, "m", "length", one.source
        )
        for name, one in protection_limits(workings).items()
        if name in _NAMES
    )
    told = []
    if air := built.get("protection.air_space"):
        bottom, top = built.get("protection.open_bottom", 0.0), built.get("protection.open_top", 0.0)
        edges = f"{say.least(bottom)} below" + (f" and {say.least(top)} above" if top else "")
        told.append(
            f"Stand the wall protection at least {say.least(air)} off the wall and leave {edges} open."
        )
    sides, above = built.get("protection.beyond"), built.get("protection.above")
    if sides and above:
        reach = (
            f"{say.least(sides)} beyond the appliance on each side and above it"
            if sides == above
            else f"{say.least(sides)} beyond the appliance on each side and {say.least(above)} above it"
        )
        told.append(f"It reaches at least {reach}, or to where the wall is non-combustible.")
    if "protection.air_space" in built and (rule := workings.rulebook.find("clearance.spacers")):
        told.append(rule.as_printed)
    return Finding("wall protection", Outcome.PASS, " ".join(told)) if told else None


def _relation(workings: Workings, name: str) -> str:
    """How a reach follows from the two clearances, "" where the book has a figure of its own."""
    follows = name in _REACHES and workings.rulebook.find("clearance.shield_reach") is not None
    return "√(unprotected² − reduced²)" if follows else ""


def walls(workings: Workings, say: Wording) -> Finding | None:
    """Say which walls beside the hearth have to be solid, where the rule book asks for it.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None where the rule book asks for none or every wall is far enough
    """
    told, source = [], ""
    for wall, hearth, where in _WALLS:
        distance = getattr(workings.survey, wall)
        if distance is None:
            continue
        found = _wall(workings, distance, getattr(workings.survey, hearth) if hearth else None)
        if found is not None:
            told.append(_words(found, where, say))
            source = found.source.reference
    if not told:
        return None
    return Finding(
        "hearth walls",
        Outcome.PASS,
        f"{' '.join(told)} Solid non-combustible material, or what protects as well ({source}).",
    )


def _wall(workings: Workings, distance: float, hearth: float | None) -> HearthWall | None:
    """Wall asked for; a hearth known to end before the wall is measured from its edge."""
    gap = distance - hearth if hearth is not None else 0.0
    if gap > 0:
        return hearth_wall(gap, workings.rulebook, hearth_meets_wall=False)
    return hearth_wall(distance, workings.rulebook)


def _words(found: HearthWall, where: str, say: Wording) -> str:
    heights = [
        f"{say.height(height, 'up')} above the {over}"
        for height, over in ((found.above_appliance, "appliance"), (found.above_hearth, "hearth"))
        if height is not None
    ]
    thickness = say.least(found.thickness)
    return f"The wall {where} has to be at least {thickness} thick up to {' and '.join(heights)}."
