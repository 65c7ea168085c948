"""Whether the appliance keeps its clearances where it stands, and how far it must move if not."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Check, Outcome
from calcs.findings import corner
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings

#: Side -> what stands there, the side opposite, and the way that leads away from it.
_SIDES = {
    "rear": ("the wall behind it", "front", "forward"),
    "left": ("the wall on its left", "right", "to the right"),
    "right": ("the wall on its right", "left", "to the left"),
    "front": ("what stands in front of it", "rear", "back"),
}
_PREFIX = "appliance.clearance."


def clearances(workings: Workings, say: Wording, checks: tuple[Check, ...]) -> Finding | None:
    """Say which clearance is not kept and which way to move; None while not all of them are known.

    Across the members the position finding says how far, as the box has to land in a bay as well.

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
    if workings.survey.placement == "corner":
        return corner.clearances(workings, say, checks)
    room = {
        check.name.removeprefix(_PREFIX): check.margin
        for check in checks
        if check.name.startswith(_PREFIX) and check.margin is not None
    }
    short = {side: -left for side, left in room.items() if left < -EQUAL_WITHIN and side in _SIDES}
    if short:
        across = _across(workings)
        words = " ".join(_too_near(side, room, say, told=side in across) for side in short)
        return Finding("clearances", Outcome.FAIL, words, -max(short.values()))
    if not set(_SIDES) <= set(room):
        return None
    least = min(room.values())
    return Finding(
        "clearances",
        Outcome.PASS,
        "The appliance keeps its clearances behind, on both sides and in front; "
        f"{say.most(least)} is left at the tightest.",
        least,
    )


def _across(workings: Workings) -> frozenset[str]:
    """Sides for which the position finding already says where to move."""
    if workings.nearest is None and not workings.walls_too_close:
        return frozenset()
    front_to_back = workings.survey.member_direction == "front to back"
    return frozenset({"left", "right"} if front_to_back else {"rear", "front"})


def _too_near(side: str, room: dict[str, float], say: Wording, *, told: bool) -> str:
    what, opposite, way = _SIDES[side]
    missing = -room[side]
    sentence = f"The appliance stands {say.least(missing)} too near {what}"
    if told:
        return f"{sentence}."
    beyond = room.get(opposite)
    if beyond is None:
        return f"{sentence}: move it {way}, once the space there is measured."
    if beyond < missing - EQUAL_WITHIN:
        return (
            f"{sentence}, and there is no room to move it {way}: choose another place, or protect the wall."
        )
    return f"{sentence}: move it {say.least(missing)} {way}."
