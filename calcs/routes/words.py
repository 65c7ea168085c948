"""What the same part is called on another route: a joist is a rafter under a slope and a stud in a wall."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from calcs.routes import LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING

if TYPE_CHECKING:
    from calcs.workings import Workings

#: What carries the opening, by route.
_MEMBERS: Mapping[str, str] = MappingProxyType({VAULTED_CEILING: "rafter", THROUGH_WALL: "stud"})
#: What another route calls a part otherwise, phrase by phrase.
_PHRASES: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        THROUGH_WALL: MappingProxyType(
            {
                "The ceiling support": "The wall support",
                "to the ceiling support": "to the chimney at the thimble",
                "above the support's lower end": "above the tee",
                "no joint lies in the ceiling or the roof": "no joint lies in the eaves",
                "(ceiling or roof)": "(the eaves)",
                "and find the rafters": "and find the rafters of the eaves",
            }
        ),
        VAULTED_CEILING: MappingProxyType(
            {"The ceiling support": "The support box", "to the ceiling support": "to the support box"}
        ),
        LINED_CHIMNEY: MappingProxyType({"to the ceiling support": "to the liner"}),
    }
)
_JOIST = re.compile(r"\b([Jj])oist(?!s? hanger)(?=s?\b)")


def route_words(route: str, sentence: str) -> str:
    """Sentence about the framing in the words of a route.

    Parameters
    ----------
    route : str
        A route of `calcs.routes`
    sentence : str
        Sentence that speaks of joists

    Returns
    -------
    str
        The same of rafters or studs

    Examples
    --------
    >>> route_words("vaulted ceiling", "Hang the cut joist in joist hangers.")
    'Hang the cut rafter in joist hangers.'
    """
    for phrase, instead in _PHRASES.get(route, {}).items():
        sentence = sentence.replace(phrase, instead)
    member = _MEMBERS.get(route)
    if member is None:
        return sentence
    return _JOIST.sub(lambda found: member.capitalize() if found[1] == "J" else member, sentence)


def reword(workings: Workings) -> None:
    """Put cut list and steps in the words of the route.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `cut_list` and `working` anew
    """
    route = workings.survey.route
    if route not in _MEMBERS:
        return
    workings.cut_list = tuple(replace(one, note=route_words(route, one.note)) for one in workings.cut_list)
    workings.working = {
        topic: tuple(
            replace(one, says=route_words(route, one.says), relation=route_words(route, one.relation))
            for one in steps
        )
        for topic, steps in workings.working.items()
    }
