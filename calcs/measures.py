"""Measures of a survey that may be off: what they are called and how finely they are told apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.lengths import INCH
from calcs.wording import Wording


@dataclass(frozen=True)
class Measure:
    """What a measure is called, its finest step in the field's unit, and what it is written as."""

    words: str
    step: float = INCH / 16
    #: length | pitch | temperature
    kind: str = "length"


#: Field of the survey -> measure. Counts and choices are not off by a little.
MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        "rear_wall": Measure("the distance to the wall behind the appliance"),
        "left_wall": Measure("the distance to the wall on the appliance's left"),
        "right_wall": Measure("the distance to the wall on the appliance's right"),
        "front_space": Measure("the free space in front of the appliance"),
        "corner_wall": Measure("the distance from the appliance's corner to the wall"),
        "wall_to_flue_centre": Measure("the distance from the wall to the flue centre"),
        "wall_to_first_member": Measure("the distance from the wall to the first member"),
        "member_spacing": Measure("the spacing of the ceiling members"),
        "member_thickness": Measure("the thickness of the ceiling members"),
        "member_depth": Measure("the depth of the ceiling members"),
        "floor_to_ceiling": Measure("the height from floor to ceiling"),
        "ceiling_thickness": Measure("the thickness of the ceiling finish"),
        "attic_height": Measure("the attic height at the flue centre"),
        "insulation_depth": Measure("the depth of the attic insulation"),
        "roof_rise": Measure("the rise of the roof in 12", 1 / 16, "pitch"),
        "ceiling_rise": Measure("the rise of the ceiling in 12", 1 / 16, "pitch"),
        "vent_space": Measure("the air space between insulation and deck"),
        "thimble_height": Measure("the height of the thimble's centre"),
        "wall_thickness": Measure("the thickness of the wall"),
        "eaves_overhang": Measure("the overhang of the eaves"),
        "soffit_height": Measure("the height of the eaves' underside"),
        "roof_edge_height": Measure("the height of the roof's edge"),
        "flue_width": Measure("the width of the flue"),
        "flue_depth": Measure("the depth of the flue"),
        "throat_width": Measure("the width of the throat"),
        "throat_depth": Measure("the depth of the throat"),
        "flue_entry_height": Measure("the height where the liner begins"),
        "flue_top_height": Measure("the height of the masonry's top"),
        "chimney_above_roof": Measure("the height of the masonry above the roof"),
        "masonry_depth": Measure("the outside of the masonry along the slope"),
        "masonry_wall": Measure("the thickness of the masonry's wall"),
        "masonry_clearance": Measure("the distance of the masonry to what burns"),
        "deck_thickness": Measure("the thickness of the roof deck"),
        "rafter_depth": Measure("the depth of the rafters"),
        "ridge_distance": Measure("the distance from the flue centre to the ridge or upper edge"),
        "eaves_distance": Measure("the distance from the flue centre to the eaves"),
        "hip_distance": Measure("the distance from the flue centre to the eaves of the hipped end"),
        "covering_thickness": Measure("the thickness of the roof covering"),
        "connector_clearance": Measure("the distance from the connector to combustible material"),
        "connector_run": Measure("the horizontal run of the connector"),
        "connector_length": Measure("the length of the connector"),
        "connector_rise": Measure("the rise of the connector"),
        "hearth_front": Measure("the hearth in front of the appliance"),
        "hearth_side": Measure("the hearth beside the appliance"),
        "hearth_rear": Measure("the hearth behind the appliance"),
        "hearth_width": Measure("the width of the hearth"),
        "hearth_depth": Measure("the depth of the hearth"),
        "hearth_thickness": Measure("the thickness of the hearth"),
        "outside_temperature": Measure("the outside temperature", 0.5, "temperature"),
        "room_temperature": Measure("the temperature of the room", 0.5, "temperature"),
        "attic_temperature": Measure("the temperature of the attic", 0.5, "temperature"),
    }
)


def measure_words(name: str) -> str:
    """What a measure is called within a sentence.

    Parameters
    ----------
    name : str
        Field of the survey

    Returns
    -------
    str
        Words

    Examples
    --------
    >>> measure_words("attic_height"), measure_words("altitude")
    ('the attic height at the flue centre', 'the altitude')
    """
    known = MEASURES.get(name)
    return known.words if known else f"the {name.replace('_', ' ')}"


def write_measure(name: str, amount: float, say: Wording) -> str:
    """Write how far a measure is off.

    Parameters
    ----------
    name : str
        Field of the survey
    amount : float
        How far it is off [as the field]
    say : Wording
        Units to write in

    Returns
    -------
    str
        Figure with its unit

    Examples
    --------
    >>> write_measure("attic_height", 0.0127, Wording()), write_measure("roof_rise", 0.5, Wording())
    ('1/2 in', '0.5')
    """
    known = MEASURES.get(name)
    if known is None or known.kind == "pitch":
        return f"{amount:.2g}"
    if known.kind == "temperature":
        return f"{amount:.1f} K" if say.system == "metric" else f"{amount * 1.8:.1f} °F"
    return say.length(amount)
