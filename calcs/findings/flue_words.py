"""What people call the figures a flue is reckoned from."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

#: Input -> what a person calls it, within a sentence.
_NAMES: Mapping[str, str] = {
    "survey.room_temperature": "room temperature",
    "survey.attic_temperature": "attic temperature",
    "survey.connector_elbows": "elbows of the connector",
    "survey.fuel_moisture": "moisture of the fuel",
    "survey.air_vent_area": "air vents",
    "survey.exposure": "exposure to wind",
    "appliance.flue_gas_temperature": "temperature of the flue gas",
    "appliance.flue_gas_mass_flow": "mass flow of the flue gas, or nominal output and efficiency",
    "appliance.flue_gas_co2": "carbon dioxide in the flue gas",
    "appliance.collar_diameter": "diameter of the collar",
    "appliance.minimum_gas_temperature": "flue gas temperature at the least output",
    "appliance.minimum_gas_mass_flow": "mass flow at the least output",
    "appliance.minimum_output_draft": "draft needed at the least output",
    "chimney.inner_diameter": "inner diameter of the chimney",
    "chimney.outer_diameter": "outer diameter of the chimney",
    "chimney.thermal_resistance": "thermal resistance of the chimney",
    "chimney.roughness": "roughness of the flue",
}
#: Name in `calcs.flue_ranges` -> what a person calls it.
_RANGE_NAMES: Mapping[str, str] = {
    "mass_flow": "mass flow of the flue gas",
    "flue_gas_temperature": "temperature of the flue gas",
    "co2_dry_percent": "carbon dioxide in the flue gas",
    "moisture_wet": "moisture of the fuel",
    "thermal_resistance": "thermal resistance of the chimney",
    "inner_diameter": "inner diameter of the flue",
    "outer_diameter": "outer diameter of the flue",
    "roughness": "roughness of the flue",
    "altitude": "altitude of the site",
    "outside_temperature": "outside temperature",
    "surrounding_temperature": "temperature of the room or attic",
    "efficiency": "efficiency of the appliance",
    "length": "length of the flue",
    "zeta": "number of elbows",
}


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    Parameters
    ----------
    words : sequence of str
        The words

    Returns
    -------
    str
        The words with commas and an "and"

    Examples
    --------
    >>> listed(["roughness", "moisture", "vents"])
    'roughness, moisture and vents'
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def named(inputs: Sequence[str]) -> str:
    """Inputs as people call them.

    Parameters
    ----------
    inputs : sequence of str
        Inputs such as `chimney.roughness`

    Returns
    -------
    str
        Their names within a sentence

    Examples
    --------
    >>> named(["chimney.roughness"])
    'roughness of the flue'
    """
    return listed([_NAMES[one] for one in inputs])


def refused(sentence: str) -> str:
    """What a refusal of the flue's relations says to a person.

    Parameters
    ----------
    sentence : str
        The sentence of the ValueError

    Returns
    -------
    str
        The same with the input as people call it

    Examples
    --------
    >>> refused("segments[1].roughness: 0.02 m is more than 0.05 of the inner diameter")
    'roughness of the flue: 0.02 m is more than 0.05 of the inner diameter'
    """
    name, colon, rest = sentence.partition(":")
    plain = re.sub(r"^segments\[\d+\]\.", "", name)
    return f"{_RANGE_NAMES.get(plain, plain)}{colon}{rest}"
