"""Heights at the flue's centre line, from the floor to the roof's surface."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calcs.framing import framed_opening
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.liner import roof_beside
from calcs.routes.wall import first_joint, roof_at_flue
from calcs.survey import Appliance, Chimney, Survey

#: What a covering adds to the deck where nobody measured it, battens included [m]. Common practice, from
#: memory. Membranes lie on insulation of any thickness and thatch is laid to measure, so these have none.
COVERING_ALLOWANCE: Mapping[str, float] = MappingProxyType(
    {"asphalt shingle": 0.010, "wood shingle": 0.025, "metal": 0.030, "slate": 0.040, "tile": 0.080}
)


@dataclass(frozen=True)
class Levels:
    """Heights above the finished floor at the flue's centre [m]; None where an input is missing."""

    collar: float | None
    ceiling: float | None
    framing_bottom: float | None
    framing_top: float | None
    insulation_top: float | None
    first_joint: float | None
    deck_underside: float | None
    #: Weather surface of the roof.
    roof: float | None
    #: Thickness of the covering, square to the slope: measured, or what is allowed for its kind.
    covering: float | None
    #: Slope as rise in 12, and rise over run.
    rise: float | None
    slope: float | None

    @property
    def pitch_degrees(self) -> float | None:
        """Slope of the roof [degrees]."""
        return None if self.slope is None else math.degrees(math.atan(self.slope))


def _sum(*parts: float | None) -> float | None:
    if any(part is None for part in parts):
        return None
    return math.fsum(part for part in parts if part is not None)


def _times(thickness: float | None, factor: float | None) -> float | None:
    return None if thickness is None or factor is None else thickness * factor


def _first_joint(survey: Survey, chimney: Chimney, slope: float | None) -> float | None:
    """Lower end of the support, where the chimney begins [m]."""
    ceiling, below = survey.floor_to_ceiling, chimney.support_projection
    if survey.route == THROUGH_WALL:
        return first_joint(survey, chimney)
    if survey.route == LINED_CHIMNEY:
        return survey.flue_entry_height
    if survey.route == VAULTED_CEILING:
        outer, clearance, below = chimney.outer_diameter, chimney.clearance, chimney.box_projection
        if outer is None or clearance is None or slope is None or below is None:
            return None
        below += framed_opening(outer, clearance, chimney.support_size) / 2 * slope
    return None if ceiling is None or below is None else ceiling - below


def _roof(survey: Survey, chimney: Chimney, slope: float | None, measured: float | None) -> float | None:
    """Weather surface at the flue's centre [m]: stacked from below, or as its route measures it."""
    if survey.route == THROUGH_WALL:
        return roof_at_flue(survey, chimney, slope)
    return roof_beside(survey, slope) if survey.route == LINED_CHIMNEY else measured


def roof_rise(survey: Survey) -> float | None:
    """Rise in 12, where a flat roof without a stated rise has none.

    Parameters
    ----------
    survey : Survey
        What was measured

    Returns
    -------
    float or None
        Rise in a run of 12 [-]

    Examples
    --------
    >>> roof_rise(Survey(roof_shape="flat")), roof_rise(Survey(roof_rise=6.0)), roof_rise(Survey())
    (0.0, 6.0, None)
    """
    if survey.roof_rise is None and survey.roof_shape == "flat":
        return 0.0
    return survey.roof_rise


def levels_of(survey: Survey, appliance: Appliance, chimney: Chimney) -> Levels:
    """Stack the measured heights on each other.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    Levels
        Heights above the finished floor [m]

    Notes
    -----
    Insulation is measured from the ceiling's upper face. Deck and covering are measured square to the
    slope, so they stand t / cos(pitch) high in the plumb line. Under a vaulted ceiling so do its finish and
    the rafters; its box hangs level, below the ceiling on the low side as far as its sheet asks.
    A covering that was not measured takes what
    is allowed for its kind; where nothing is, the roof's surface is not known.

    Examples
    --------
    >>> survey = Survey(floor_to_ceiling=2.4, ceiling_thickness=0.0125, member_depth=0.14, attic_height=0.5)
    >>> round(levels_of(survey, Appliance(), Chimney()).deck_underside, 4)
    3.0525

    References
    ----------
    Plane geometry.
    """
    rise = roof_rise(survey)
    slope = None if rise is None else rise / 12
    vaulted = survey.route == VAULTED_CEILING
    plumb = (None if slope is None else math.hypot(1, slope)) if vaulted else 1.0
    framing_bottom = _sum(survey.floor_to_ceiling, _times(survey.ceiling_thickness, plumb))
    framing_top = _sum(framing_bottom, _times(survey.member_depth, plumb))
    deck_underside = framing_top if vaulted else _sum(framing_top, survey.attic_height)
    covering = survey.covering_thickness
    if covering is None:
        covering = COVERING_ALLOWANCE.get(survey.roof_covering)
    thickness = _sum(survey.deck_thickness, covering)
    plumb_roof = None if thickness is None or slope is None else thickness * math.hypot(1, slope)
    return Levels(
        collar=appliance.collar_height,
        ceiling=survey.floor_to_ceiling,
        framing_bottom=framing_bottom,
        framing_top=framing_top,
        insulation_top=_sum(framing_bottom, survey.insulation_depth),
        first_joint=_first_joint(survey, chimney, slope),
        deck_underside=deck_underside,
        roof=_roof(survey, chimney, slope, _sum(deck_underside, plumb_roof)),
        covering=covering,
        rise=rise,
        slope=slope,
    )
