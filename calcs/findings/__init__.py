"""What people otherwise find out in the attic, as plain sentences.

Parameters
----------
workings : Workings
    The working of the plan, given to every finding
say : Wording
    Units to write in, given to every finding

Returns
-------
Finding or None
    The finding, its `room` in the unit of what it judges; None where there is nothing to say
"""

from __future__ import annotations

from dataclasses import replace

from calcs.checks import Check
from calcs.findings import (
    air,
    attic,
    ceiling,
    connector,
    corner,
    draft,
    elbows,
    flue,
    flue_fit,
    hearth,
    liner,
    members,
    roof,
    service,
    stack,
    vault,
    wall,
    wall_shield,
    walls,
)
from calcs.findings.finding import Finding
from calcs.routes import FLAT_CEILING, LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.words import route_words
from calcs.wording import Wording
from calcs.workings import Workings

__all__ = ["Finding", "findings_of"]


def findings_of(workings: Workings, say: Wording, checks: tuple[Check, ...] = ()) -> tuple[Finding, ...]:
    """Put the working into words.

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
    tuple of Finding
        Position, clearances, framing, attic, termination, sections, brace, draft, in the order the job
        meets them

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> from calcs.workings import work_out
    >>> worked = work_out(Survey(member_kind="truss"), Appliance(), Chimney(), load_rulebook("us"))
    >>> [finding.topic for finding in findings_of(worked, Wording())][0]
    'position'
    """
    found = (
        *_POSITIONS[workings.survey.route](workings, say),
        walls.clearances(workings, say, checks),
        wall_shield.protection(workings, say),
        wall_shield.walls(workings, say),
        hearth.hearth(workings, say, checks),
        corner.contradiction(workings, say),
        elbows.offset(workings, say),
        *_FRAMINGS[workings.survey.route](workings, say),
        *_BETWEEN[workings.survey.route](workings, say),
        *_STACKS[workings.survey.route](workings, say),
        connector.connector(workings, say, checks),
        flue_fit.flue_size(workings, say),
        flue_fit.designation(workings, say),
        flue.flue_height(workings, say),
        draft.draft(workings, say),
        draft.draft_at_least_output(workings, say),
        draft.flue_temperature(workings, say),
        air.air(workings, say, checks),
        air.alarms(workings, say),
        hearth.fuel(workings, say, checks),
        service.service(workings, say),
    )
    route = workings.survey.route
    return tuple(replace(one, sentence=route_words(route, one.sentence)) for one in found if one is not None)


def _through_attic(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (
        attic.shield(workings, say),
        attic.enclosure(workings, say),
        attic.insulation(workings, say),
        roof.roof_opening(workings, say),
    )


def _through_vault(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (
        vault.support_box(workings, say),
        vault.rafter_space(workings, say),
        vault.roof_opening(workings, say),
    )


def _through_wall(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (
        wall.thimble(workings, say), wall.wall_piece(workings, say), wall.eaves(workings, say),
        wall.brackets(workings, say),
    )  # fmt: skip


def _members(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return members.framing(workings, say), members.truss(workings, say)


def _studs(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (wall.framing(workings, say),)


def _in_masonry(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (
        liner.throat(workings, say), liner.foot(workings, say), liner.masonry(workings, say),
        liner.termination(workings, say),
    )  # fmt: skip


def _over_bay(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (ceiling.position(workings, say),)


def _between_studs(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (wall.position(workings, say),)


def _in_flue(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return liner.inspection(workings, say), liner.liner(workings, say)


def _none(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return ()


def _stacked(workings: Workings, say: Wording) -> tuple[Finding | None, ...]:
    return (
        roof.termination(workings, say), stack.sections(workings, say), stack.supported(workings, say),
        stack.brace(workings, say),
    )  # fmt: skip


#: Where the flue lands, what is done to the framing, what each route finds up to the outlet's height, and
#: what stands there.
_POSITIONS = {
    FLAT_CEILING: _over_bay,
    VAULTED_CEILING: _over_bay,
    THROUGH_WALL: _between_studs,
    LINED_CHIMNEY: _in_flue,
}
_FRAMINGS = {FLAT_CEILING: _members, VAULTED_CEILING: _members, THROUGH_WALL: _studs, LINED_CHIMNEY: _none}
_BETWEEN = {
    FLAT_CEILING: _through_attic,
    VAULTED_CEILING: _through_vault,
    THROUGH_WALL: _through_wall,
    LINED_CHIMNEY: _in_masonry,
}
_STACKS = {
    FLAT_CEILING: _stacked,
    VAULTED_CEILING: _stacked,
    THROUGH_WALL: _stacked,
    LINED_CHIMNEY: _none,
}
