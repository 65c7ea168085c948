"""What goes on the truck."""

from __future__ import annotations

from dataclasses import replace

from calcs.checks import Limit
from calcs.loads import ceiling, connector, liner, roof, room, vault, wall
from calcs.loads.item import LoadItem
from calcs.routes import FLAT_CEILING, LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.words import route_words
from calcs.wording import Wording
from calcs.workings import Workings

__all__ = ["LoadItem", "load_list_of"]


def load_list_of(
    workings: Workings, say: Wording, limits: dict[str, Limit] | None = None
) -> tuple[LoadItem, ...]:
    """List what the plan needs, as far as it is known.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in
    limits : dict of str to Limit, optional
        Limits of the plan; without them no protection of a wall is sized

    Returns
    -------
    tuple of LoadItem
        Items for walls and hearth, from the ceiling up, then the connector and what hangs in the room

    Notes
    -----
    An item whose size is not known yet is not listed; what is missing for it stands in the plan's unknowns.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> from calcs.workings import work_out
    >>> worked = work_out(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    >>> [item.name for item in load_list_of(worked, Wording())][:2]
    ['ceiling support', 'wood screws, No. 8 x 1 1/2 to 2 in']
    """
    route = workings.survey.route
    items = (
        *room.walls(workings, say, limits or {}),
        *room.hearth(workings, say),
        *_SUPPORTS[route](workings, say),
        *roof.sections(workings, say),
        *_TOPS[route](workings, say),
        *connector.connector(workings, say),
        *room.alarms(workings),
    )
    return tuple(
        replace(one, name=route_words(route, one.name), note=route_words(route, one.note)) for one in items
    )


def _in_ceiling(workings: Workings, say: Wording) -> list[LoadItem]:
    return [
        *ceiling.support(workings, say), *ceiling.framing(workings, say), *ceiling.attic(workings, say),
    ]  # fmt: skip


def _in_slope(workings: Workings, say: Wording) -> list[LoadItem]:
    return [*vault.support(workings, say), *ceiling.framing(workings, say)]


def _on_wall(workings: Workings, say: Wording) -> list[LoadItem]:
    return [*wall.support(workings, say), *ceiling.framing(workings, say)]


#: What carries the chimney on each route, and the framing around it; what keeps the rain out.
_SUPPORTS = {
    FLAT_CEILING: _in_ceiling,
    VAULTED_CEILING: _in_slope,
    THROUGH_WALL: _on_wall,
    LINED_CHIMNEY: liner.liner,
}
_TOPS = {
    FLAT_CEILING: roof.roof,
    VAULTED_CEILING: roof.roof,
    THROUGH_WALL: wall.top,
    LINED_CHIMNEY: liner.top,
}
