"""What is not known yet, what it is needed for, and where to get it, as sentences."""

from __future__ import annotations

from collections.abc import Mapping

_SURVEY = "measure it"
_APPLIANCE = "read it from the appliance's sheet"
_CHIMNEY = "read it from the chimney's sheet"
_AUTHORITY = "the rule book holds none; ask the authority having jurisdiction for it"

#: Input -> (what a person calls it, where it comes from).
_NAMES: Mapping[str, tuple[str, str]] = {
    "survey.rear_wall": ("Distance from the appliance to the wall behind it", _SURVEY),
    "survey.left_wall": ("Distance from the appliance to the wall on its left", _SURVEY),
    "survey.right_wall": ("Distance from the appliance to the wall on its right", _SURVEY),
    "survey.front_space": ("Free space in front of the appliance", _SURVEY),
    "survey.corner_wall": ("Distance from the appliance's nearest rear corner to either wall", _SURVEY),
    "survey.wall_to_flue_centre": ("Distance from the wall to the flue centre", _SURVEY),
    "survey.wall_to_first_member": ("Distance from the wall to the first ceiling member", _SURVEY),
    "survey.member_spacing": ("Spacing of the ceiling members", _SURVEY),
    "survey.member_thickness": ("Thickness of the ceiling members", _SURVEY),
    "survey.member_depth": ("Depth of the ceiling members", _SURVEY),
    "survey.floor_to_ceiling": ("Height from floor to ceiling", _SURVEY),
    "survey.ceiling_thickness": ("Thickness of the ceiling finish", _SURVEY),
    "survey.attic_height": ("Attic height at the flue centre", _SURVEY),
    "survey.insulation_depth": ("Depth of the attic insulation", _SURVEY),
    "survey.roof_rise": ("Slope of the roof", _SURVEY),
    "survey.deck_thickness": ("Thickness of the roof deck", _SURVEY),
    "survey.covering_thickness": (
        "Thickness of the roof covering, with any insulation above the deck,",
        _SURVEY,
    ),
    "survey.protected_sides": ("Which side walls have the protection", "choose it"),
    "survey.ridge_distance": ("Distance from the flue centre to the ridge or upper edge", _SURVEY),
    "survey.altitude": ("Altitude of the site", "look it up"),
    "survey.outside_temperature": ("Outside temperature to plan for", "set it"),
    "survey.connector_clearance": ("Distance from the connector to combustible material", _SURVEY),
    "survey.connector_run": ("Horizontal run of the connector", "enter it, 0 for none,"),
    "survey.connector_elbows": ("Number of elbows in the connector", "enter it, 0 for none,"),
    "survey.hearth_front": ("Hearth in front of the appliance", _SURVEY),
    "survey.hearth_side": ("Hearth beside the appliance", _SURVEY),
    "appliance.clearance_rear": ("Rear clearance of the appliance", _APPLIANCE),
    "appliance.clearance_side": ("Side clearance of the appliance", _APPLIANCE),
    "appliance.clearance_front": ("Front clearance of the appliance", _APPLIANCE),
    "appliance.clearance_above": ("Clearance above the appliance", _APPLIANCE),
    "appliance.clearance_corner": ("Clearance of the appliance in a corner", _APPLIANCE),
    "appliance.clearance_reduction_allowed": (
        "Whether the appliance may stand nearer to a protected wall",
        _APPLIANCE,
    ),
    "rulebook.clearance_rear": ("Rear clearance of an unlisted appliance", _AUTHORITY),
    "rulebook.clearance_side": ("Side clearance of an unlisted appliance", _AUTHORITY),
    "rulebook.clearance_front": ("Front clearance of an unlisted appliance", _AUTHORITY),
    "rulebook.clearance_above": ("Clearance above an unlisted appliance", _AUTHORITY),
    "rulebook.clearance_corner": ("Clearance of an unlisted appliance in a corner", _AUTHORITY),
    "appliance.connector_clearance": (
        "Clearance of the listed connector",
        "read it from the connector's sheet",
    ),
    "appliance.collar_diameter": ("Diameter of the appliance's collar", _APPLIANCE),
    "appliance.collar_height": ("Height of the appliance's collar", _APPLIANCE),
    "appliance.least_draft": ("Least draft of the appliance", _APPLIANCE),
    "appliance.flue_gas_temperature": ("Flue-gas temperature of the appliance", _APPLIANCE),
    "appliance.hearth_resistance": (
        "Thermal resistance the floor protection must have",
        "read it from the appliance's sheet, 0 where it asks for none,",
    ),
    "appliance.hearth_front": ("Hearth the appliance asks for in front", _APPLIANCE),
    "appliance.hearth_side": ("Hearth the appliance asks for at its sides", _APPLIANCE),
    "chimney.inner_diameter": ("Inner diameter of the chimney", _CHIMNEY),
    "chimney.outer_diameter": ("Outer diameter of the chimney", _CHIMNEY),
    "chimney.clearance": ("Clearance of the chimney to combustible material", _CHIMNEY),
    "chimney.support_projection": ("How far the ceiling support hangs below the ceiling", _CHIMNEY),
    "chimney.supported_height": ("Greatest height the ceiling support carries", _CHIMNEY),
    "chimney.shield_height": ("Height of the attic insulation shield", _CHIMNEY),
    "chimney.sections": (
        "Choice of chimney sections in stock",
        "enter their lengths from the chimney's sheet",
    ),
}


class Missing:
    """Collects missing inputs with what they are needed for."""

    def __init__(self) -> None:
        self._needed: dict[str, list[str]] = {}

    def add(self, name: str, purpose: str) -> None:
        """Note that an input is missing; `purpose` follows the word "to"."""
        if name not in _NAMES:
            raise KeyError(name)
        purposes = self._needed.setdefault(name, [])
        if purpose not in purposes:
            purposes.append(purpose)

    def sentences(self) -> tuple[str, ...]:
        """One sentence for each missing input, in the order they were met."""
        return tuple(
            f"{_NAMES[name][0]} is not known: {_NAMES[name][1]} to {_listed(purposes)}."
            for name, purposes in self._needed.items()
        )


def _listed(purposes: list[str]) -> str:
    if len(purposes) == 1:
        return purposes[0]
    return f"{', '.join(purposes[:-1])} and {purposes[-1]}"
