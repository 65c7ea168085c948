"""The cautions a crew reads before it cuts, in the units of the house."""

from __future__ import annotations

from calcs.wording import in_units

#: OSHA 29 CFR 1926.501: fall protection from 6 ft; 1926.1053: rails 3 ft above the landing.
_CAUTIONS = (
    "The listed instructions of this appliance and this chimney come first, then local code and the"
    " authority having jurisdiction. Where they ask for more than this plan, they win. Work that needs a"
    " licence is done by somebody who holds it.",
    "Never cut, notch or alter a roof truss without a registered design professional.",
    "Work above {6 ft|1.8 m} needs fall protection. Set ladders one out for four up, tied, rails"
    " {3 ft|0.9 m} above the landing. Stay off wet, icy or windy roofs.",
    "Old insulation and flue products may hold asbestos: stop and have them tested before they are"
    " disturbed.",
    "Know where wires, pipes and ducts run before the first hole. Step on framing, never on the ceiling.",
    "Wear a respirator when cutting masonry or cement board: the dust holds silica.",
    "What is not known stands here as not known. Find it out before the stage that needs it; never guess it.",
)


def work_cautions(system: str) -> list[str]:
    """Return the cautions, the one that rules the others first."""
    return [in_units(one, system) for one in _CAUTIONS]
