"""What stands in the way of the draft besides the pipe: fittings, wind, air supply, and the air around it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from calcs.checks import Provenance, Source, SourceKind
from calcs.survey import Obstacle

FLUE_STANDARD = Source(SourceKind.STANDARD, "EN 13384-1", "2015", Provenance.MEMORY)
_HANDBOOK = Source(
    SourceKind.STANDARD, "ASHRAE Handbook, HVAC Systems and Equipment, chimneys", "", Provenance.MEMORY
)
ROUGHNESS_SOURCE = Source(SourceKind.STANDARD, "EN 13384-1, annex B", "2015", Provenance.READ)


@dataclass(frozen=True)
class Fitting:
    """A single resistance by its kind."""

    kind: str
    zeta: float
    source: Source


FITTINGS: Mapping[str, Fitting] = MappingProxyType(
    {
        one.kind: one
        for one in (
            Fitting("elbow 15", 0.15, FLUE_STANDARD),
            Fitting("elbow 30", 0.3, FLUE_STANDARD),
            Fitting("elbow 45", 0.4, FLUE_STANDARD),
            Fitting("elbow 90", 1.2, FLUE_STANDARD),
            Fitting("tee", 1.25, _HANDBOOK),
            # A closed cap half a diameter above the outlet; open ones resist less.
            Fitting("cap", 1.5, FLUE_STANDARD),
        )
    }
)
#: Mean roughness of a stainless steel liner [m].
STEEL_ROUGHNESS = 0.001
#: Heat transfer coefficients around a flue [W/(m2 K)].
INDOORS, OUTDOORS = 8.0, 23.0
#: Temperatures of rooms where nobody gave them: heated, and unheated inside the building [degrees C].
HEATED_ROOM, UNHEATED_ROOM = 20.0, 0.0
#: Outside temperature the standard holds the pressure requirement at [degrees C].
MILD_DAY = 15.0
#: Draft the air takes on its way into the room, without and with vents to the outside [Pa].
AIR_SUPPLY_WITHOUT_VENTS, AIR_SUPPLY_WITH_VENTS = 4.0, 3.0
#: Wind on an outlet in a poor place [Pa].
WIND: Mapping[str, float] = MappingProxyType({"inland": 25.0, "coast": 40.0})
#: What a sheet without figures for the least output is taken to have: shares of nominal mass flow and
#: temperature in degrees C.
LEAST_FLOW_SHARE, LEAST_TEMPERATURE_SHARE = 1 / 3, 2 / 3

#: An outlet is in a poor place less than this above the ridge [m] ...
OVER_RIDGE = 0.4
#: ... and nearer than this to the roof, level across [m], on a roof steeper than [degrees]: always, or with
#: the air taken in on the other side and the ridge further off than [m].
_NEAR_ROOF, _STEEP, _STEEP_OTHER_SIDE, _RIDGE_AWAY = 2.3, 40.0, 25.0, 1.0
#: A neighbour counts within this distance [m] where it rises so steeply over the outlet [degrees].
_NEAR_STRUCTURE, _STRUCTURE_RISES = 15.0, 10.0


def air_supply_resistance(vent_area: float | None) -> float:
    """Draft that drawing the combustion air into the room uses up, PB.

    Parameters
    ----------
    vent_area : float or None
        Free area of permanent vents to the outside; None for not known, which counts as none [m2]

    Returns
    -------
    float
        Pressure [Pa]

    Examples
    --------
    >>> air_supply_resistance(None), air_supply_resistance(0.0055)
    (4.0, 3.0)

    References
    ----------
    EN 13384-1, clause 5.11.3, 4 Pa without and 3 Pa with vents, from memory.
    """
    return AIR_SUPPLY_WITH_VENTS if vent_area else AIR_SUPPLY_WITHOUT_VENTS


def attic_temperature(outside_temperature: float) -> float:
    """Temperature of an attic nobody measured: an unheated room inside the building.

    Parameters
    ----------
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]

    Returns
    -------
    float
        Temperature [degrees Celsius]

    Notes
    -----
    The standard has 0 degrees on a day below freezing; on any other the attic is as warm as the day.

    Examples
    --------
    >>> attic_temperature(-20.0), attic_temperature(10.0)
    (0.0, 10.0)

    References
    ----------
    EN 13384-1, clause 5.7.1, from memory.
    """
    return max(UNHEATED_ROOM, outside_temperature)


def in_poor_place(
    above_roof: float,
    pitch_degrees: float,
    ridge_distance: float | None,
    obstacles: Sequence[Obstacle] = (),
    *,
    air_from_other_side: bool = False,
) -> bool:
    """Whether the wind presses on the outlet instead of pulling at it.

    Parameters
    ----------
    above_roof : float
        Height of the outlet above the roof at the flue's centre [m]
    pitch_degrees : float
        Slope of the roof [degrees]
    ridge_distance : float or None
        Horizontal distance to the ridge; None where there is none [m]
    obstacles : sequence of Obstacle
        What stands around the outlet [m]
    air_from_other_side : bool
        Whether the combustion air comes in on the other side of the ridge

    Returns
    -------
    bool
        Whether the outlet stands in a poor place

    Notes
    -----
    Less than 0.4 m above the ridge and less than 2.3 m level across from the roof, on a roof steeper than
    40 degrees, or steeper than 25 with the ridge over 1 m away and the air coming in beyond it; or beside
    a structure within 15 m that rises more than 10 degrees over the outlet (taken to be wide enough).

    Examples
    --------
    >>> in_poor_place(1.0, 45.0, 2.0), in_poor_place(1.0, 10.0, 2.0)
    (True, False)

    References
    ----------
    EN 13384-1, clause 5.10.4 and annex C, from memory.
    """
    slope = math.tan(math.radians(pitch_degrees))
    if ridge_distance is not None and slope > 0:
        other_side = air_from_other_side and pitch_degrees > _STEEP_OTHER_SIDE
        steep = pitch_degrees > _STEEP or (other_side and ridge_distance > _RIDGE_AWAY)
        below = above_roof < ridge_distance * slope + OVER_RIDGE
        if steep and below and above_roof / slope < _NEAR_ROOF:
            return True
    return any(
        one.kind != "opening"
        and one.distance < _NEAR_STRUCTURE
        and one.height - above_roof > one.distance * math.tan(math.radians(_STRUCTURE_RISES))
        for one in obstacles
    )


def wind_pressure(poor_place: bool, exposure: str = "") -> float:
    """Pressure of the wind on the outlet, PL.

    Parameters
    ----------
    poor_place : bool
        Whether the outlet stands in a poor place
    exposure : str
        inland | coast, or "" for not known, which counts as the coast [-]

    Returns
    -------
    float
        Pressure [Pa]

    Raises
    ------
    ValueError
        If `exposure` is none of these.

    Examples
    --------
    >>> wind_pressure(False), wind_pressure(True, "inland"), wind_pressure(True)
    (0.0, 25.0, 40.0)

    References
    ----------
    EN 13384-1, clause 5.10.4, 25 Pa inland and 40 Pa by the sea, from memory.
    """
    if exposure not in {"", *WIND}:
        raise ValueError(f"exposure: {exposure!r} is not one of {', '.join(WIND)}")
    return WIND[exposure or "coast"] if poor_place else 0.0
