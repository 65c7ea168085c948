"""The flue of each route, cut where its surroundings change."""

from __future__ import annotations

import math
from dataclasses import replace

from calcs.firing import Taken
from calcs.flue_fittings import FITTINGS, HEATED_ROOM, INDOORS, OUTDOORS, STEEL_ROUGHNESS
from calcs.flue_parts import FlueSegment
from calcs.levels import levels_of
from calcs.routes.liner import THIMBLE, outside_of
from calcs.routes.wall import level_piece
from calcs.section_plan import ELBOW_PAIR, SectionPlan
from calcs.survey import Appliance, Chimney, Survey

#: Wall of a single-wall connector, for its outside [m].
CONNECTOR_WALL = 0.0006
#: Segments shorter than this are left out [m].
SHORTEST = 0.001

ROOM, ATTIC, OUTSIDE = "room", "attic", "outside"
#: Between the two faces of a roof over a vaulted ceiling.
ROOF = "roof"
#: The level piece from the room to the tee outdoors.
WALL = "wall"
#: A liner in masonry that stands outdoors.
LINER = "liner"


def outdoor_segments(
    survey: Survey,
    appliance: Appliance,
    chimney: Chimney,
    *,
    outlet: float,
    stack: SectionPlan | None,
    taken: Taken,
) -> tuple[FlueSegment, ...] | None:
    """Connector, the level piece through the wall with its tee, and the chimney outdoors all the way up.

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
    stack : SectionPlan or None
        The sections; an elbow pair among them slows and lengthens the flue
    taken : Taken
        Receives the names of what nobody gave

    Returns
    -------
    tuple of FlueSegment or None
        The segments; None where a figure is missing
    """
    collar, entry, through = appliance.collar_height, survey.thimble_height, level_piece(survey, chimney)
    inner, outer, resistance = chimney.inner_diameter, chimney.outer_diameter, chimney.thermal_resistance
    if collar is None or entry is None or through is None or entry <= collar:
        return None
    if inner is None or outer is None or resistance is None or appliance.collar_diameter is None:
        return None
    pipe = FlueSegment(
        name=WALL,
        length=through,
        height=0.0,
        inner_diameter=inner,
        outer_diameter=outer,
        thermal_resistance=resistance,
        roughness=taken.or_else("chimney.roughness", chimney.roughness, STEEL_ROUGHNESS),
        zeta=FITTINGS["tee"].zeta,
        surrounding_temperature=survey.outside_temperature or 0.0,
        external_coefficient=OUTDOORS,
    )
    room = taken.or_else("survey.room_temperature", survey.room_temperature, HEATED_ROOM)
    up = outlet - entry
    found = (
        connector_segment(survey, appliance.collar_diameter, entry - collar, room, taken),
        pipe,
        replace(pipe, name=OUTSIDE, length=up, height=up, zeta=FITTINGS["cap"].zeta),
    )
    return with_offset(found, stack) if stack is not None else found


def masonry_segments(
    survey: Survey, appliance: Appliance, chimney: Chimney, outlet: float, taken: Taken
) -> tuple[FlueSegment, ...] | None:
    """Connector and liner; the masonry around it is not counted, which errs to the cold side.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the liner
    outlet : float
        Height of its end above the floor [m]
    taken : Taken
        Receives the names of what nobody gave

    Returns
    -------
    tuple of FlueSegment or None
        The segments; None where a figure is missing
    """
    levels = levels_of(survey, appliance, chimney)
    collar, entry, roof, outer = levels.collar, levels.first_joint, levels.roof, outside_of(chimney)
    inner, resistance = chimney.inner_diameter, chimney.thermal_resistance
    if collar is None or entry is None or roof is None or outer is None or not survey.chimney_place:
        return None
    if inner is None or resistance is None or appliance.collar_diameter is None:
        return None
    if not collar <= entry <= roof:
        return None
    outdoors = survey.chimney_place == "outside"
    room = taken.or_else("survey.room_temperature", survey.room_temperature, HEATED_ROOM)
    outside = survey.outside_temperature or 0.0
    liner = FlueSegment(
        name=LINER if outdoors else ROOM,
        length=roof - entry,
        height=roof - entry,
        inner_diameter=inner,
        outer_diameter=outer,
        thermal_resistance=resistance,
        roughness=taken.or_else("chimney.roughness", chimney.roughness, STEEL_ROUGHNESS),
        zeta=FITTINGS["tee"].zeta if survey.flue_entry == THIMBLE else 0.0,
        surrounding_temperature=outside if outdoors else room,
        external_coefficient=OUTDOORS if outdoors else INDOORS,
    )
    above = replace(
        liner,
        name=OUTSIDE,
        length=outlet - roof,
        height=outlet - roof,
        zeta=FITTINGS["cap"].zeta,
        surrounding_temperature=outside,
        external_coefficient=OUTDOORS,
    )
    pipe = connector_segment(survey, appliance.collar_diameter, entry - collar, room, taken)
    return tuple(one for one in (pipe, liner, above) if one.length >= SHORTEST)


def connector_segment(
    survey: Survey, collar_diameter: float, rise: float, room: float, taken: Taken
) -> FlueSegment:
    """The connector as a stretch of flue.

    Parameters
    ----------
    survey : Survey
        What was measured
    collar_diameter : float
        Diameter of the collar it is sized to [m]
    rise : float
        Straight up from the collar to its end [m]
    room : float
        Temperature around it [degrees Celsius]
    taken : Taken
        Receives the names of what nobody gave

    Returns
    -------
    FlueSegment
        The segment, without insulation
    """
    run = survey.connector_run or 0.0
    elbows = int(taken.or_else("survey.connector_elbows", survey.connector_elbows, 2 if run else 0))
    length = survey.connector_length if survey.connector_length is not None else rise + run
    return FlueSegment(
        name="connector",
        length=max(length, rise),
        height=rise,
        inner_diameter=collar_diameter,
        outer_diameter=collar_diameter + 2 * CONNECTOR_WALL,
        thermal_resistance=0.0,
        roughness=STEEL_ROUGHNESS,
        zeta=elbows * FITTINGS["elbow 90"].zeta,
        surrounding_temperature=room,
        external_coefficient=INDOORS,
        part="connector",
    )


def with_offset(segments: tuple[FlueSegment, ...], stack: SectionPlan) -> tuple[FlueSegment, ...]:
    """Add each elbow pair's detour and resistance to the segment its middle stands in.

    Parameters
    ----------
    segments : tuple of FlueSegment
        The flue
    stack : SectionPlan
        The sections of the chimney

    Returns
    -------
    tuple of FlueSegment
        The flue with the offset
    """
    if stack.offset is None:
        return segments
    longer = math.hypot(stack.offset.rise, stack.offset.run) - stack.offset.rise
    elbows = 2 * FITTINGS[f"elbow {stack.offset.angle_degrees:.0f}"].zeta
    found = list(segments)
    for piece in stack.pieces:
        if piece.kind != ELBOW_PAIR:
            continue
        middle, top = (piece.bottom + piece.top) / 2, 0.0
        for index, one in enumerate(found):
            if one.part != "chimney":
                continue
            top += one.height
            if middle <= top or index == len(found) - 1:
                found[index] = replace(one, length=one.length + longer, zeta=one.zeta + elbows)
                break
    return tuple(found)
