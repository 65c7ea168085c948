"""An appliance across a corner: its clearances, and whether the tape agrees with its sheet."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Check, Outcome
from calcs.corner import diagonal_move
from calcs.findings.finding import Finding
from calcs.position import corner_centre
from calcs.wording import Wording
from calcs.workings import Workings

#: A tape across a corner is not read closer than this.
_TAPE = 0.0127


def clearances(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say whether the rear corners keep their distance and the front its space; None while not known.

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
        The finding; `room` is the least that is left [m]
    """
    room = {
        check.name.rpartition(".")[2]: check.margin
        for check in checks
        if check.name in {"appliance.clearance.corner", "appliance.clearance.front"}
        and check.margin is not None
    }
    words = []
    corner, front = room.get("corner"), room.get("front")
    if corner is not None and corner < -EQUAL_WITHIN:
        words.append(_too_near(workings, say, corner, front))
    if front is not None and front < -EQUAL_WITHIN:
        words.append(_no_front(say, corner, front))
    if words:
        return Finding("clearances", Outcome.FAIL, " ".join(words), min(room.values()))
    if len(room) < 2:
        return None
    least = min(room.values())
    return Finding(
        "clearances",
        Outcome.PASS,
        "The appliance keeps its clearances at both rear corners and in front; "
        f"{say.most(least)} is left at the tightest.",
        least,
    )


def _too_near(workings: Workings, say: Wording, corner: float, front: float | None) -> str:
    sentence = f"A rear corner of the appliance stands {say.least(-corner)} too near its wall"
    if workings.nearest is not None or workings.walls_too_close:
        return f"{sentence}."
    out = diagonal_move(-corner)
    move = f"move it {say.least(out)} out of the corner along the diagonal"
    if front is None:
        return f"{sentence}: {move}, once the space in front is measured."
    if front < out - EQUAL_WITHIN:
        return f"{sentence}, and there is no room to move it out of the corner: choose another place."
    return f"{sentence}: {move}."


def _no_front(say: Wording, corner: float | None, front: float) -> str:
    sentence = f"The appliance stands {say.least(-front)} too near what stands in front of it"
    if corner is None:
        return f"{sentence}: move it back, once its distance to the corner's walls is measured."
    if diagonal_move(corner) < -front - EQUAL_WITHIN:
        return f"{sentence}, and there is no room to move it into the corner: choose another place."
    return f"{sentence}: move it {say.least(-front)} into the corner along the diagonal."


def contradiction(workings: Workings, say: Wording) -> Finding | None:
    """Say where the tape across a corner contradicts the appliance's sheet."""
    reckoned, measured = corner_centre(workings), workings.survey.wall_to_flue_centre
    if reckoned is None or measured is None or measured >= reckoned - _TAPE:
        return None
    return Finding(
        "corner",
        Outcome.UNKNOWN,
        f"The flue measures {say.length(measured)} from the wall, but with its rear corners where they were "
        f"measured the sheet puts it no nearer than {say.length(reckoned)}: measure again, and see that the "
        "appliance stands at 45°.",
        measured - reckoned,
    )
