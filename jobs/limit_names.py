"""What people call the limits of a plan."""

from __future__ import annotations

LIMIT_NAMES = {
    "appliance.clearance.rear": "Appliance to the wall behind",
    "appliance.clearance.left": "Appliance to the wall on its left",
    "appliance.clearance.right": "Appliance to the wall on its right",
    "appliance.clearance.corner": "Appliance's rear corners to the walls",
    "appliance.clearance.front": "Free space in front of the appliance",
    "appliance.clearance.above": "Free space above the appliance",
    "hearth.front": "Floor protection in front",
    "hearth.side": "Floor protection at the sides",
    "hearth.rear": "Floor protection behind",
    "hearth.width": "Width of the hearth",
    "hearth.depth": "Depth of the hearth",
    "hearth.resistance": "Thermal resistance of the floor protection",
    "support.plumb_offset": "Plumb point off the bay's centre",
    "framing.bay_clear": "Clear width of the bay",
    "framing.opening": "Framed opening",
    "support.projection": "Support below the finished ceiling",
    "support.screws_per_side": "Screws through each side of the support",
    "chimney.clearance": "Chimney to combustibles",
    "shield.above_insulation": "Shield above the insulation",
    "enclosure.clearance": "Chimney to the enclosure's panels",
    "roof.opening.across": "Roof opening across the slope",
    "roof.opening.along": "Roof opening along the slope",
    "flashing.nail_spacing": "Spacing of the flashing's nails",
    "flashing.nail_edge": "Nails from the flashing's edge",
    "flashing.upper_cover": "Share of the flashing under the courses",
    "termination.above_penetration": "Outlet above the roof where the chimney passes it",
    "termination.above_radius": "Outlet above anything within the radius",
    "termination.unbraced": "Chimney above the roof without a brace",
    "connector.clearance": "Connector to combustibles",
    "connector.slope": "Rise of the connector",
    "connector.run": "Level run of the connector",
    "connector.elbows": "Elbows in the connector",
    "connector.screws_per_joint": "Screws in each connector joint",
    "connector.overlap": "Overlap of connector joints",
    "draft.measured": "Draft, measured hot",
    "fuel.moisture": "Moisture of the fuel, wet basis",
    "alarm.co_distance": "Carbon monoxide alarm from the appliance",
    "sweep.deposit": "Deposit left in the flue",
    "service.draft": "Draft at the service",
    "flue.size": "Flue diameter",
    "flue.height": "Height of the flue above the collar",
    "support.height": "Height the ceiling support carries",
}


def limit_name(name: str) -> str:
    """Return what people call a limit; one without a name keeps its key, spelled out."""
    return LIMIT_NAMES.get(name, name.replace(".", ", ").replace("_", " ").capitalize())
