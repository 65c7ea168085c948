"""Clearances of the appliance to the walls around it, with the protections that stand there."""

from __future__ import annotations

from calcs.checks import Limit, Source
from calcs.clearance import Clearance, reduced_clearance, unlisted_clearance
from calcs.sheets import appliance_source
from calcs.steps import Step
from calcs.survey import Survey
from calcs.wall_shield import shield_limits
from calcs.workings import Workings

#: Side of the appliance -> position the listing and the rule book name.
SIDES = {"rear": "rear", "left": "side", "right": "side", "front": "front", "above": "above"}
#: Across a corner its two rear corners come nearest to the walls, and nothing else is held against them.
CORNER_SIDES = {"corner": "corner", "front": "front", "above": "above"}
_WORDS = {
    "rear": "To the wall behind",
    "left": "To the wall on the left",
    "right": "To the wall on the right",
    "corner": "To either wall of the corner",
    "front": "In front",
    "above": "Above",
}
#: Protections with an air space behind them.
VENTILATED = "_ventilated"


def sides_of(survey: Survey) -> dict[str, str]:
    """Sides on which the appliance keeps a clearance, by how it stands.

    Parameters
    ----------
    survey : Survey
        What was measured

    Returns
    -------
    dict of str to str
        Side -> position the listing and the rule book name

    Examples
    --------
    >>> list(sides_of(Survey(placement="corner")))
    ['corner', 'front', 'above']
    """
    return CORNER_SIDES if survey.placement == "corner" else SIDES


def appliance_clearance(workings: Workings, side: str) -> Clearance | None:
    """Clearance of the appliance on one side, reduced by wall protection where that is allowed.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    side : str
        rear | left | right | corner | front | above

    Returns
    -------
    Clearance or None
        Clearance [m]; None when neither listing nor rule book gives one

    Notes
    -----
    In a corner one figure holds towards both walls, so the one with the lesser protection rules. Facing the
    corner, the wall on the left counts as the left wall, the one on the right as the wall behind.
    """
    base = _unprotected(workings, {**SIDES, **CORNER_SIDES}[side])
    if base is None or base.minimum is None:
        return None
    walls = ("rear", "left") if side == "corner" else (side,)
    each = [_with_protection(workings, base.minimum, base.source, wall) for wall in walls]
    return max(each, key=lambda one: one.required)


def _with_protection(workings: Workings, figure: float, source: Source, wall: str) -> Clearance:
    protection = _protection(workings, wall)
    if not protection or not figure > 0:
        told = Step("Clearance to unprotected material", "", "", figure, "m", "length", source)
        return Clearance(figure, source, (), False, (told,))
    appliance = workings.appliance
    return reduced_clearance(
        figure,
        protection,
        "wall",
        workings.rulebook,
        listed=appliance.listed,
        reduction_allowed=appliance.clearance_reduction_allowed,
        source=source,
    )


def _protection(workings: Workings, side: str) -> str:
    """Protection of the wall on one side; of a side wall not named as protected, none."""
    survey = workings.survey
    if side == "rear":
        return survey.rear_protection
    return survey.side_protection if survey.protected_sides in {side, "both"} else ""


def _unprotected(workings: Workings, position: str) -> Limit | None:
    appliance = workings.appliance
    if not appliance.listed:
        # A rear corner belongs to the back and to a side: the larger of the two holds.
        faces = ("rear", "side") if position == "corner" else (position,)
        found = [unlisted_clearance(appliance.kind, face, workings.rulebook) for face in faces]
        known = [one for one in found if one is not None]
        return max(known, key=lambda one: one.minimum or 0.0) if len(known) == len(found) else None
    figure: float | None = getattr(appliance, f"clearance_{position}")
    return None if figure is None else Limit(figure, None, "m", appliance_source(appliance))


def wall_limits(workings: Workings) -> dict[str, Limit]:
    """Clearances around the appliance, and how a protection on a wall is built.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps and what is missing

    Returns
    -------
    dict of str to Limit
        appliance.clearance.*, and protection.* where a protection takes something off [m]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney
    >>> from calcs.workings import work_out
    >>> worked = work_out(Survey(), Appliance(listed=False), Chimney(), load_rulebook("us"))
    >>> round(wall_limits(worked)["appliance.clearance.rear"].minimum, 4)
    0.9144
    """
    appliance, limits = workings.appliance, {}
    found = {side: appliance_clearance(workings, side) for side in sides_of(workings.survey)}
    for side, clearance in found.items():
        if clearance is not None:
            limits[f"appliance.clearance.{side}"] = Limit(clearance.required, None, "m", clearance.source)
        else:
            owner = "appliance" if appliance.listed else "rulebook"
            position = sides_of(workings.survey)[side]
            workings.missing.add(f"{owner}.clearance_{position}", "check where the appliance stands")
    _note_missing(workings)
    limits |= protection_limits(workings)
    workings.working["clearances"] = tuple(
        step
        for side, clearance in found.items()
        if clearance is not None
        for step in (Step(_WORDS[side]), *clearance.reckoning)
    )
    return limits


def _note_missing(workings: Workings) -> None:
    survey, appliance = workings.survey, workings.appliance
    if survey.side_protection and not survey.protected_sides:
        workings.missing.add("survey.protected_sides", "count it")
    protected = survey.rear_protection or survey.side_protection
    if protected and appliance.listed and appliance.clearance_reduction_allowed is None:
        workings.missing.add("appliance.clearance_reduction_allowed", "count the wall protection")


def protection_limits(workings: Workings) -> dict[str, Limit]:
    """How the protections on the walls are built, the strictest over the sides they take something off.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    dict of str to Limit
        protection.air_space, .open_bottom, .open_top, .beyond, .above; empty without such a protection [m]
    """
    limits: dict[str, Limit] = {}
    for side in sides_of(workings.survey):
        clearance = appliance_clearance(workings, side)
        if clearance is None or not clearance.reduced:
            continue
        bare = _unprotected(workings, sides_of(workings.survey)[side])
        unprotected = bare.minimum if bare is not None else None
        wall = "rear" if side in {"rear", "corner"} else side
        built = shield_limits(workings.rulebook, unprotected=unprotected, distance=clearance.required)
        if not _protection(workings, wall).endswith(VENTILATED):
            built = {name: built[name] for name in built if name.endswith((".beyond", ".above"))}
        for name, limit in built.items():
            held = limits.get(name)
            if held is None or (limit.minimum or 0.0) > (held.minimum or 0.0):
                limits[name] = limit
    return limits
