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
    "survey.ceiling_rise": ("Slope of the ceiling", _SURVEY),
    "survey.rafter_vented": ("Whether air passes over the insulation between the rafters", "look for it"),
    "survey.vent_space": ("Air space between insulation and deck", _SURVEY),
    "survey.thimble_height": ("Height of the thimble's centre above the floor", _SURVEY),
    "survey.wall_thickness": ("Thickness of the wall", _SURVEY),
    "survey.wall_bears": ("Whether the wall carries floor or roof", "find it out"),
    "survey.wall_side": ("Whether the wall stands under the eaves or a gable", "choose it"),
    "survey.eaves_overhang": ("How far the eaves stand out beyond the wall", _SURVEY),
    "survey.soffit_height": ("Height from the floor to the underside of the eaves", _SURVEY),
    "survey.roof_edge_height": ("Height from the floor to the roof's edge", _SURVEY),
    "survey.eaves_way": ("How the chimney passes the eaves", "choose it"),
    "survey.flue_shape": ("Shape of the existing flue", _SURVEY),
    "survey.flue_width": ("Inside width of the existing flue", _SURVEY),
    "survey.flue_depth": ("Inside depth of the existing flue", _SURVEY),
    "survey.flue_entry": ("Where the liner enters the chimney", "choose it"),
    "survey.throat_width": ("Width of the fireplace's throat", _SURVEY),
    "survey.throat_depth": ("Depth of the fireplace's throat", _SURVEY),
    "survey.flue_entry_height": ("Height where the liner begins", _SURVEY),
    "survey.flue_top_height": ("Height of the masonry's top above the floor", _SURVEY),
    "survey.chimney_above_roof": ("Height of the masonry above the roof", _SURVEY),
    "survey.masonry_depth": ("Outside of the masonry along the slope", _SURVEY),
    "survey.masonry_wall": ("Thickness of the masonry's wall", _SURVEY),
    "survey.masonry_clearance": ("Distance of the masonry to what burns", _SURVEY),
    "survey.chimney_place": ("Whether the masonry stands inside the house or outdoors", "look at it"),
    "survey.flue_inspection": ("What an inspection of the chimney found", "have it inspected"),
    "survey.ridge_distance": ("Distance from the flue centre to the ridge or upper edge", _SURVEY),
    "survey.eaves_distance": ("Distance from the flue centre down to the eaves", _SURVEY),
    "survey.hip_distance": ("Distance from the flue centre to the eaves of the hipped end", _SURVEY),
    "survey.rafter_depth": ("Depth of the rafters", _SURVEY),
    "survey.altitude": ("Altitude of the site", "look it up"),
    "survey.outside_temperature": ("Outside temperature to plan for", "set it"),
    "survey.connector_clearance": ("Distance from the connector to combustible material", _SURVEY),
    "survey.connector_run": ("Horizontal run of the connector", "enter it, 0 for none,"),
    "survey.connector_elbows": ("Number of elbows in the connector", "enter it, 0 for none,"),
    "survey.connector_length": ("Length of the connector along its centre line", _SURVEY),
    "survey.connector_rise": ("Rise of the connector from collar to chimney", _SURVEY),
    "survey.connector_protection": ("Shield between the connector and the wall", "choose it"),
    "survey.hearth_front": ("Hearth in front of the appliance", _SURVEY),
    "survey.hearth_side": ("Hearth beside the appliance", _SURVEY),
    "survey.hearth_rear": ("Hearth behind the appliance", _SURVEY),
    "survey.hearth_width": ("Width of the hearth", _SURVEY),
    "survey.hearth_depth": ("Depth of the hearth", _SURVEY),
    "survey.hearth_thickness": ("Thickness of the hearth", _SURVEY),
    "survey.hearth_layers": ("Make-up of the floor protection", "enter its layers"),
    "survey.air_permeability": (
        "Air permeability of the house",
        "take it from the house's air test, or ask who built it,",
    ),
    "survey.air_vent_area": ("Free area of the permanent air vents", "add them up, 0 for none,"),
    "survey.room_temperature": ("Temperature of the room", "set it"),
    "survey.attic_temperature": ("Temperature of the attic", "set it"),
    "survey.exposure": ("How hard the wind presses on the outlet", "choose it"),
    "survey.fuel_moisture": ("Water in the fuel", "measure it with a moisture meter"),
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
    "appliance.width": ("Width of the appliance's body", _APPLIANCE),
    "appliance.depth": ("Depth of the appliance's body", _APPLIANCE),
    "appliance.back_to_flue_centre": ("Distance from the appliance's back to its flue centre", _APPLIANCE),
    "appliance.side_to_flue_centre": ("Distance from the appliance's side to its flue centre", _APPLIANCE),
    "appliance.nominal_output": ("Nominal output of the appliance", _APPLIANCE),
    "appliance.minimum_output": ("Least output of the appliance", _APPLIANCE),
    "appliance.least_draft": ("Least draft of the appliance", _APPLIANCE),
    "appliance.flue_gas_temperature": ("Flue-gas temperature of the appliance", _APPLIANCE),
    "appliance.flue_gas_mass_flow": ("Flue-gas mass flow of the appliance", _APPLIANCE),
    "appliance.flue_gas_co2": ("Carbon dioxide in the appliance's flue gas", _APPLIANCE),
    "appliance.efficiency": ("Efficiency of the appliance", _APPLIANCE),
    "appliance.minimum_gas_temperature": ("Flue-gas temperature at the least output", _APPLIANCE),
    "appliance.minimum_gas_mass_flow": ("Flue-gas mass flow at the least output", _APPLIANCE),
    "appliance.minimum_output_draft": ("Least draft of the appliance at its least output", _APPLIANCE),
    "appliance.draught_stabiliser": ("Whether the appliance has a draught stabiliser", _APPLIANCE),
    "appliance.smoke_exempt": ("Whether the appliance is exempt in smoke control areas", _APPLIANCE),
    "appliance.hearth_resistance": (
        "Thermal resistance the floor protection must have",
        "read it from the appliance's sheet, 0 where it asks for none,",
    ),
    "appliance.hearth_front": ("Hearth the appliance asks for in front", _APPLIANCE),
    "appliance.hearth_side": ("Hearth the appliance asks for at its sides", _APPLIANCE),
    "appliance.hearth_rear": ("Hearth the appliance asks for behind", _APPLIANCE),
    "appliance.hearth_below_100": (
        "Whether the hearth under the appliance stays below 100 °C",
        _APPLIANCE,
    ),
    "chimney.inner_diameter": ("Inner diameter of the chimney", _CHIMNEY),
    "chimney.outer_diameter": ("Outer diameter of the chimney", _CHIMNEY),
    "chimney.clearance": ("Clearance of the chimney to combustible material", _CHIMNEY),
    "chimney.support_projection": ("How far the ceiling support hangs below the ceiling", _CHIMNEY),
    "chimney.box_height": ("Height of the support box", _CHIMNEY),
    "chimney.box_projection": ("How far the support box hangs below the ceiling's low side", _CHIMNEY),
    "chimney.box_above_deck": (
        "How far the support box stands above the deck",
        "read it from the chimney's sheet, 0 where it is cut off flush,",
    ),
    "chimney.thimble_size": ("Framed opening of the wall thimble", _CHIMNEY),
    "chimney.thimble_projection": ("How far the chimney stands into the room at the wall", _CHIMNEY),
    "chimney.tee_rise": ("Height of the tee above the centre of its branch", _CHIMNEY),
    "chimney.tee_branch": ("Length of the tee's branch", _CHIMNEY),
    "chimney.wall_standoff": ("Least distance of the chimney off the wall", _CHIMNEY),
    "chimney.wall_standoff_greatest": ("Greatest distance of the chimney off the wall", _CHIMNEY),
    "chimney.wall_supported_height": ("Greatest height the wall support carries", _CHIMNEY),
    "chimney.bracket_spacing": ("Greatest distance between wall brackets", _CHIMNEY),
    "chimney.insulation_thickness": (
        "Thickness of the liner's insulation",
        "read it from the chimney's sheet, 0 for none,",
    ),
    "chimney.liner_room": ("Gap the liner needs all round", _CHIMNEY),
    "chimney.liner_above_crown": ("How far the liner ends above the masonry", _CHIMNEY),
    "chimney.liner_zero_clearance": (
        "Whether the liner is listed for masonry that touches what burns",
        _CHIMNEY,
    ),
    "chimney.supported_height": ("Greatest height the ceiling support carries", _CHIMNEY),
    "chimney.shield_height": ("Height of the attic insulation shield", _CHIMNEY),
    "chimney.cap_height": ("Height of the chimney cap", _CHIMNEY),
    "chimney.thermal_resistance": ("Thermal resistance of the chimney", _CHIMNEY),
    "chimney.roughness": ("Roughness of the chimney's inner wall", _CHIMNEY),
    "chimney.elbow_15_rise": ("Rise of a pair of 15° elbows", _CHIMNEY),
    "chimney.elbow_15_run": ("Offset of a pair of 15° elbows", _CHIMNEY),
    "chimney.elbow_30_rise": ("Rise of a pair of 30° elbows", _CHIMNEY),
    "chimney.elbow_30_run": ("Offset of a pair of 30° elbows", _CHIMNEY),
    "chimney.sections": (
        "Choice of chimney sections in stock",
        "enter their lengths from the chimney's sheet",
    ),
}


def called(name: str) -> str:
    """What a person calls an input that may be missing.

    Parameters
    ----------
    name : str
        Owner and field, such as `appliance.width` [-]

    Returns
    -------
    str
        Words that begin a sentence [-]

    Raises
    ------
    KeyError
        The input has no name here.

    Examples
    --------
    >>> called("appliance.width")
    "Width of the appliance's body"

    References
    ----------
    Common practice.
    """
    return _NAMES[name][0]


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
