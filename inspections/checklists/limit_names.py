"""The limits a measure may name, and what kind of quantity each is."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

LimitName = str

#: Limit -> kind of quantity, as calcs.units reads it.
KNOWN_LIMITS: Mapping[LimitName, str] = MappingProxyType(
    {
        "appliance.clearance.rear": "length",
        "appliance.clearance.left": "length",
        "appliance.clearance.right": "length",
        "appliance.clearance.front": "length",
        "appliance.clearance.above": "length",
        "appliance.clearance.corner": "length",
        "protection.air_space": "length",
        "hearth.front": "length",
        "hearth.side": "length",
        "hearth.rear": "length",
        "hearth.width": "length",
        "hearth.depth": "length",
        "hearth.resistance": "thermal resistance",
        "support.plumb_offset": "length",
        "framing.bay_clear": "length",
        "framing.opening": "length",
        "support.projection": "length",
        "framing.opening_along": "length",
        "box.height": "length",
        "box.above_deck": "length",
        "rafter.vent_space": "length",
        "thimble.height": "length",
        "thimble.offset": "length",
        "thimble.projection": "length",
        "wall.standoff": "length",
        "eaves.clearance": "length",
        "bracket.spacing": "length",
        "termination.above_edge": "length",
        "wall.support_height": "length",
        "support.height": "length",
        "flue.size": "length",
        "flue.height": "length",
        "support.screws_per_side": "count",
        "chimney.clearance": "length",
        "shield.above_insulation": "length",
        "enclosure.clearance": "length",
        "roof.opening.across": "length",
        "roof.opening.along": "length",
        "flashing.nail_spacing": "length",
        "flashing.nail_edge": "length",
        "flashing.upper_cover": "percent",
        "termination.above_penetration": "length",
        "termination.above_radius": "length",
        "termination.unbraced": "length",
        "connector.clearance": "length",
        "connector.slope": "slope",
        "connector.run": "length",
        "connector.length": "length",
        "connector.elbows": "count",
        "connector.screws_per_joint": "count",
        "connector.overlap": "length",
        "draft.measured": "draft",
        "fuel.moisture": "percent",
        "alarm.co_distance": "length",
        "alarm.co_ceiling_from_wall": "length",
        "alarm.co_wall_below_ceiling": "length",
        "air.vent_area": "area",
        "sweep.deposit": "length",
        "service.draft": "draft",
    }
)
