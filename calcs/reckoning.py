"""One reckoning of a survey: the working, its limits, checks and findings, before a plan is made of them."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.checks import Check, Limit, Outcome
from calcs.elbow_way import find_elbow_way
from calcs.findings import Finding, findings_of
from calcs.plan_limits import appliance_clearance, checks_of, limits_of
from calcs.position import place_appliance, square_room
from calcs.position_steps import explain_position
from calcs.refusals import refuse_impossible
from calcs.routes import FLAT_CEILING, VAULTED_CEILING
from calcs.routes.words import reword
from calcs.rulebook import RuleBook
from calcs.survey import Appliance, Chimney, Survey
from calcs.wording import Wording
from calcs.workings import Workings, work_out

#: Routes on which the chimney stands over the appliance, so that one moves with the other.
_THROUGH_THE_CEILING = frozenset({FLAT_CEILING, VAULTED_CEILING})


@dataclass(frozen=True)
class Reckoning:
    """What follows from the inputs."""

    workings: Workings
    limits: dict[str, Limit]
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def reckon(
    survey: Survey, appliance: Appliance, chimney: Chimney, rulebook: RuleBook, say: Wording
) -> Reckoning:
    """Reckon everything the inputs allow.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    rulebook : RuleBook
        Rules of the site's country
    say : Wording
        Units to write in

    Returns
    -------
    Reckoning
        Working, limits, checks and findings

    Raises
    ------
    ValueError
        If an input cannot be, such as a negative length; the sentence begins with its name.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = reckon(Survey(), Appliance(), Chimney(), load_rulebook("us"), Wording())
    >>> found.findings[0].topic, str(found.findings[0].outcome)
    ('position', 'unknown')
    """
    refuse_impossible(survey, appliance, chimney, rulebook)
    workings = work_out(survey, appliance, chimney, rulebook)
    limits = limits_of(workings)
    checks = checks_of(workings, limits)
    workings.must_move = any(
        check.outcome is Outcome.FAIL for check in checks if check.name.startswith("appliance.clearance.")
    )
    if survey.route in _THROUGH_THE_CEILING:
        place_appliance(workings, *_room_to_move(workings))
        find_elbow_way(workings, limits.get("connector.clearance"))
    explain_position(workings)
    reword(workings)
    return Reckoning(workings, limits, checks, findings_of(workings, say, checks))


def _room_to_move(workings: Workings) -> tuple[float | None, float | None]:
    """How far the appliance may go towards the wall the members are counted from, and away from it [m]."""
    survey = workings.survey
    if survey.placement == "corner":
        return _room(workings, survey.corner_wall, "corner"), square_room(
            _room(workings, survey.front_space, "front")
        )
    if survey.member_direction == "front to back":
        near, far = (survey.left_wall, "left"), (survey.right_wall, "right")
    else:
        near, far = (survey.rear_wall, "rear"), (survey.front_space, "front")
    return _room(workings, *near), _room(workings, *far)


def _room(workings: Workings, space: float | None, side: str) -> float | None:
    clearance = appliance_clearance(workings, side)
    return None if space is None or clearance is None else space - clearance.required
