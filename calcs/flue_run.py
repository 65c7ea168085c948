"""The flue of a plan: its segments from the collar to the outlet, and what burns in it at each output."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from calcs.firing import Firing, Taken, firings_of, solve_firing
from calcs.flue_fittings import (
    FITTINGS,
    HEATED_ROOM,
    INDOORS,
    MILD_DAY,
    OUTDOORS,
    STEEL_ROUGHNESS,
    air_supply_resistance,
    attic_temperature,
    in_poor_place,
    wind_pressure,
)
from calcs.flue_parts import FlueSegment, SegmentedFlue
from calcs.levels import levels_of
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.flue import (
    ATTIC,
    LINER,
    OUTSIDE,
    ROOF,
    ROOM,
    SHORTEST,
    WALL,
    connector_segment,
    masonry_segments,
    outdoor_segments,
    with_offset,
)
from calcs.section_plan import SectionPlan
from calcs.survey import Appliance, Chimney, Survey


@dataclass(frozen=True)
class FiringResult:
    """A firing solved: `draft` while the flue warms up, `warm` at equilibrium; dew point in degrees C."""

    firing: Firing
    draft: SegmentedFlue
    warm: SegmentedFlue
    #: Available draft on a mild day [Pa]; None where the plan's own day is no colder.
    mild_draft: float | None
    #: Draft the appliance and its air need together [Pa]; None where the appliance's is not known.
    required: float | None
    dew_point: float


@dataclass(frozen=True)
class FlueRun:
    """The flue of a plan solved at nominal output and, where the sheet has one, at the least."""

    firings: tuple[FiringResult, ...]
    altitude: float
    outside_temperature: float
    room_temperature: float
    #: None where nobody gave it, so that it follows the weather.
    attic_temperature: float | None
    wind_pressure: float
    #: Wind that would press besides [Pa] if the room drew its air from beyond the ridge.
    crosswise_wind: float
    air_supply: float
    #: Inputs nobody gave, by name: what was taken stands in the working.
    taken: tuple[str, ...]

    @property
    def nominal(self) -> FiringResult:
        """The flue at nominal output."""
        return self.firings[0]

    @property
    def least(self) -> FiringResult | None:
        """The flue at the least output, where there is one."""
        return self.firings[1] if len(self.firings) > 1 else None


def segments_of(
    survey: Survey,
    appliance: Appliance,
    chimney: Chimney,
    *,
    outlet: float,
    stack: SectionPlan | None = None,
    taken: Taken | None = None,
) -> tuple[FlueSegment, ...] | None:
    """Cut the flue where its surroundings change: connector, room, attic, outside.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    outlet : float
        Height of the outlet above the floor [m]
    stack : SectionPlan, optional
        The sections; an elbow pair among them slows and lengthens the segment it stands in
    taken : Taken, optional
        Receives the names of what nobody gave

    Returns
    -------
    tuple of FlueSegment or None
        The segments in the order the gas passes them; None where a figure of the chimney, the collar or a
        level is missing

    Notes
    -----
    A chimney through the wall is cooled by the weather from the wall's inner face on. A connector is
    reckoned without insulation, also a listed double-wall one, whose figure no sheet is
    asked for here: that errs to the cold side. Its length is measured along it, or taken as rise and run.
    The cap stands on the outlet.

    Examples
    --------
    >>> segments_of(Survey(), Appliance(), Chimney(), outlet=6.0) is None
    True

    References
    ----------
    EN 13384-1, annex B, 8 W/(m2 K) around a flue indoors and 23 outdoors, from memory.
    """
    taken = taken or Taken()
    levels = levels_of(survey, appliance, chimney)
    inner, outer, resistance = chimney.inner_diameter, chimney.outer_diameter, chimney.thermal_resistance
    collar, start, ceiling, roof = levels.collar, levels.first_joint, levels.ceiling, levels.roof
    if inner is None or outer is None or resistance is None or appliance.collar_diameter is None:
        return None
    if survey.route == LINED_CHIMNEY:
        return masonry_segments(survey, appliance, chimney, outlet, taken)
    if survey.route == THROUGH_WALL:
        return outdoor_segments(survey, appliance, chimney, outlet=outlet, stack=stack, taken=taken)
    if collar is None or start is None or ceiling is None or roof is None:
        return None
    outside = survey.outside_temperature or 0.0
    room = taken.or_else("survey.room_temperature", survey.room_temperature, HEATED_ROOM)
    between, attic = ATTIC, survey.attic_temperature
    if survey.route == VAULTED_CEILING:
        between, attic = ROOF, attic_temperature(outside)
    attic = taken.or_else("survey.attic_temperature", attic, attic_temperature(outside))
    pipe = FlueSegment(
        name=ROOM,
        length=ceiling - start,
        height=ceiling - start,
        inner_diameter=inner,
        outer_diameter=outer,
        thermal_resistance=resistance,
        roughness=taken.or_else("chimney.roughness", chimney.roughness, STEEL_ROUGHNESS),
        zeta=0.0,
        surrounding_temperature=room,
        external_coefficient=INDOORS,
    )
    found = (
        connector_segment(survey, appliance.collar_diameter, start - collar, room, taken),
        pipe,
        replace(
            pipe, name=between, length=roof - ceiling, height=roof - ceiling, surrounding_temperature=attic
        ),
        replace(
            pipe,
            name=OUTSIDE,
            length=outlet - roof,
            height=outlet - roof,
            zeta=FITTINGS["cap"].zeta,
            surrounding_temperature=outside,
            external_coefficient=OUTDOORS,
        ),
    )
    offset = with_offset(found, stack) if stack is not None else found
    return tuple(one for one in offset if one.length >= SHORTEST)


def on_a_day(
    segments: Sequence[FlueSegment], outside_temperature: float, attic: float | None
) -> tuple[FlueSegment, ...]:
    """The same flue with another day around it.

    Parameters
    ----------
    segments : sequence of FlueSegment
        The flue
    outside_temperature : float
        Temperature of the outside air [degrees Celsius]
    attic : float or None
        Temperature of the attic where somebody gave it; None follows the day [degrees Celsius]

    Returns
    -------
    tuple of FlueSegment
        The flue on that day
    """
    around = {
        OUTSIDE: outside_temperature,
        WALL: outside_temperature,
        LINER: outside_temperature,
        ATTIC: attic_temperature(outside_temperature) if attic is None else attic,
        ROOF: attic_temperature(outside_temperature),
    }
    return tuple(
        replace(one, surrounding_temperature=around.get(one.name, one.surrounding_temperature))
        for one in segments
    )


def run_flue(
    survey: Survey,
    appliance: Appliance,
    chimney: Chimney,
    *,
    outlet: float,
    stack: SectionPlan | None = None,
) -> FlueRun | None:
    """Solve a plan's flue.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    outlet : float
        Height of the outlet above the floor [m]
    stack : SectionPlan, optional
        The sections of the chimney

    Returns
    -------
    FlueRun or None
        The flue at each output; None where an input it needs is missing

    Raises
    ------
    ValueError
        If an input is outside what the relations hold for.

    References
    ----------
    EN 13384-1, clauses 5.7 to 5.12, from memory.
    """
    taken = Taken()
    altitude, outside = survey.altitude, survey.outside_temperature
    if altitude is None or outside is None:
        return None
    levels = levels_of(survey, appliance, chimney)
    segments = segments_of(survey, appliance, chimney, outlet=outlet, stack=stack, taken=taken)
    if segments is None or outlet <= (levels.roof or 0.0):
        return None
    firings = firings_of(survey, appliance, taken)
    if not firings:
        return None
    above, pitch, ridge = outlet - (levels.roof or 0.0), levels.pitch_degrees or 0.0, survey.ridge_distance
    poor = in_poor_place(above, pitch, ridge, survey.obstacles)
    if poor and not survey.exposure:
        taken.names.append("survey.exposure")
    crosswise = in_poor_place(above, pitch, ridge, air_from_other_side=True)
    if survey.air_vent_area is None:
        taken.names.append("survey.air_vent_area")
    wind, air = wind_pressure(poor, survey.exposure), air_supply_resistance(survey.air_vent_area)
    run = FlueRun(
        firings=(),
        altitude=altitude,
        outside_temperature=outside,
        room_temperature=HEATED_ROOM if survey.room_temperature is None else survey.room_temperature,
        attic_temperature=survey.attic_temperature,
        wind_pressure=wind,
        crosswise_wind=wind_pressure(crosswise and not poor, survey.exposure),
        air_supply=air,
        taken=tuple(taken.names),
    )
    return replace(run, firings=tuple(_result(one, segments, run) for one in firings))


def _result(firing: Firing, segments: tuple[FlueSegment, ...], run: FlueRun) -> FiringResult:
    outside = run.outside_temperature

    def solved(day: float, correction: float) -> SegmentedFlue:
        return solve_firing(
            firing,
            segments if day == outside else on_a_day(segments, day, run.attic_temperature),
            altitude=run.altitude,
            outside_temperature=day,
            wind=run.wind_pressure,
            correction=correction,
        )

    draft = solved(outside, 0.5)
    return FiringResult(
        firing=firing,
        draft=draft,
        warm=solved(outside, 1.0),
        mild_draft=solved(MILD_DAY, 0.5).available_draft if outside < MILD_DAY else None,
        required=None if firing.least_draft is None else firing.least_draft + run.air_supply,
        dew_point=firing.gas.dew_point(draft.outside_pressure),
    )
