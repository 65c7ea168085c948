"""The position as lines a person can follow."""

from __future__ import annotations

from collections.abc import Iterator

from calcs.bays import Bays, Position
from calcs.checks import EQUAL_WITHIN, Source, SourceKind
from calcs.corner import diagonal_move
from calcs.position import bays_of, corner_centre
from calcs.sheets import chimney_source
from calcs.steps import Step
from calcs.ways import ways_of
from calcs.workings import Workings

_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "plane geometry")


def explain_position(workings: Workings) -> None:
    """Write down how the position was reckoned.

    Parameters
    ----------
    workings : Workings
        The working so far; receives steps for the position, the framing and the offset in `working`
    """
    steps = {
        "position": (
            *_box(workings), *_landing(workings), *_moves(workings),
        ),
        "framing": tuple(_framing(workings)),
        "offset": tuple(_offset(workings)),
    }  # fmt: skip
    workings.working.update({topic: found for topic, found in steps.items() if found})


def _length(
    says: str, relation: str, symbol: str, result: float | None, source: Source | None = _GEOMETRY
) -> Step:
    return Step(says, relation, symbol, result, "m", "length", source)


def _box(workings: Workings) -> Iterator[Step]:
    chimney, opening, survey = workings.chimney, workings.opening, workings.survey
    if opening is None and survey.member_spacing is None:
        return
    yield Step("The box and the room between the members")
    if opening is not None and chimney.outer_diameter is not None and chimney.clearance is not None:
        sheet = chimney_source(chimney)
        yield _length("Outside of the chimney", "", "D", chimney.outer_diameter, sheet)
        yield _length("Its clearance to combustible material", "", "c", chimney.clearance, sheet)
        if chimney.support_size is None:
            yield _length("Side of the opening", "o = D + 2 c", "o", opening)
        else:
            yield _length("Outside of the support box", "", "B", chimney.support_size, sheet)
            yield _length("Side of the opening", "o = the larger of D + 2 c and B", "o", opening)
    spacing, thickness = survey.member_spacing, survey.member_thickness
    if spacing is None or thickness is None:
        return
    yield _length("Spacing of the members on centre", "", "s", spacing, None)
    yield _length("Thickness of a member", "", "t", thickness, None)
    yield _length("Clear between two members", "b = s - t", "b", spacing - thickness)
    if workings.members_cut and workings.bay_clear is not None:
        yield _length("Clear across one joist that is cut", "b = 2 s - t", "b", workings.bay_clear)
    if opening is not None and workings.bay_clear is not None:
        spare = (workings.bay_clear - opening) / 2
        yield _length("Room beside a box on the bay's centre", "r = (b - o) / 2", "r", spare)


def _landing(workings: Workings) -> Iterator[Step]:
    first, wall = workings.survey.wall_to_first_member, ways_of(workings.survey).wall
    reckoned = corner_centre(workings)
    if first is None and workings.wall_to_centre is None:
        return
    yield Step("Where the flue lands")
    if reckoned is not None:
        yield from _corner_flue(workings, reckoned)
    if workings.survey.wall_to_flue_centre is not None:
        yield _length(f"Flue centre from the {wall}, measured", "", "x", workings.wall_to_centre, None)
    if first is not None:
        yield _length(f"Near face of the first member from the {wall}", "", "f", first, None)
    if workings.before_first_member:
        yield Step("The flue lands before the first member, where no bay is known.", "x < f + t / 2")
    offset, fit = workings.plumb_offset, workings.bay_fit
    if offset is None:
        return
    relation = (
        "e = x - the axis of the joist that is cut"
        if workings.members_cut
        else "e = x - f - t / 2 - (n - 1/2) s, in bay n"
    )
    yield _length("Flue centre off the bay's centre, away from that wall", relation, "e", offset)
    if fit is not None:
        yield _length("Gap between the box and the member nearer that wall", "r + e", "", fit.gap_left)
        yield _length("Gap between the box and the member further out", "r - e", "", fit.gap_right)


def _corner_flue(workings: Workings, reckoned: float) -> Iterator[Step]:
    appliance, survey = workings.appliance, workings.survey
    yield _length("Rear corners from their walls", "", "k", survey.corner_wall, None)
    yield _length("Width of the appliance", "", "w", appliance.width, None)
    yield _length("From its back to the flue centre", "", "d", appliance.back_to_flue_centre, None)
    if appliance.side_to_flue_centre is None:
        yield Step("The sheet gives no distance from its side: the flue is taken in the middle.", "a = w / 2")
    else:
        yield _length("From its left side to the flue centre", "", "a", appliance.side_to_flue_centre, None)
    side = "a" if survey.member_direction == "front to back" else "(w - a)"
    symbol = "x" if survey.wall_to_flue_centre is None else ""
    says = "Flue centre from the corner wall the members run along, at 45 degrees"
    yield _length(says, f"x = k + ({side} + d) / sqrt 2", symbol, reckoned)


def _moves(workings: Workings) -> Iterator[Step]:
    ways, nearest = ways_of(workings.survey), workings.nearest
    if workings.room != (None, None):
        yield Step("Room to move within the clearances")
    if workings.walls_too_close:
        yield Step("Both sides together leave none", "room + room < 0")
    for room, way in zip(workings.room, (ways.near, ways.far), strict=True):
        if room is not None:
            yield _length(f"Room to move {way}", "space - clearance", "", room, None)
    if nearest is None:
        return
    for found, way in ((nearest.towards_wall, ways.near), (nearest.away_from_wall, ways.far)):
        yield Step(f"Nearest place {way}")
        if found is None:
            yield Step("No bay is left", "none within the clearances")
        else:
            yield from _place(workings, found)


def _place(workings: Workings, found: Position) -> Iterator[Step]:
    wall = ways_of(workings.survey).wall
    yield _length(f"Flue centre from the {wall}", _edge(bays_of(workings), found), "", found.centre)
    yield _length("Move", "from x", "", abs(found.move))
    if workings.survey.placement == "corner":
        yield _length("Along the diagonal", "sqrt 2 x move", "", abs(diagonal_move(found.move)))


def _edge(bays: Bays | None, found: Position) -> str:
    """Which edge of the bay holds the box, or the clearance that does."""
    if bays is None:
        return ""
    bay = "" if bays.members_cut else f" in bay {found.bay}"
    if found.gap_near <= EQUAL_WITHIN:
        return f"against the near member{bay}: f + t + (n - 1) s + o / 2"
    if found.gap_far <= EQUAL_WITHIN:
        return f"against the far member{bay}: f + n s - o / 2"
    return f"at the clearance{bay}"


def _framing(workings: Workings) -> Iterator[Step]:
    if not workings.members_cut or workings.bay_clear is None:
        return
    yield _length("Span of the headers between the joists that stay", "2 s - t", "", workings.bay_clear)
    for key, says in (
        ("framing.single_header_span", "A header is single up to"),
        ("framing.single_trimmer_from_bearing", "A joist beside it is single where the header is within"),
        ("framing.hanger_span", "Hangers carry the header over"),
    ):
        rule = workings.rulebook.find(key)
        if rule is not None:
            yield _length(says, "", "", rule.value, rule.source)


def _offset(workings: Workings) -> Iterator[Step]:
    way = workings.elbows
    if way is None:
        return
    ways, sheet = ways_of(workings.survey), chimney_source(workings.chimney)
    for run, name in ((way.towards_wall, ways.pipe_near), (way.away_from_wall, ways.pipe_far)):
        if run is not None:
            yield _length(f"Least run {name} that lands the box in a bay", "", "", run)
    if way.height is not None:
        yield _length("Height from the collar to the support", "", "h", way.height, None)
    if way.offset is None:
        return
    angle = way.offset.angle_degrees
    known = workings.chimney
    pair = (
        (known.elbow_15_rise, known.elbow_15_run) if angle < 20 else (known.elbow_30_rise, known.elbow_30_run)
    )
    yield _length(f"Rise of two elbows of {angle:g}° locked together", "", "R", pair[0], sheet)
    yield _length("Their run", "", "N", pair[1], sheet)
    yield _length("Straight length between them", f"L = (run - N) / sin {angle:g}°", "L", way.offset.between)
    yield _length("Run of the offset", f"N + L sin {angle:g}°", "", way.offset.run)
    yield _length("Rise of the offset", f"R + L cos {angle:g}°", "", way.offset.rise)
    for key, says, unit in (
        ("connector.elbow_angle", "Greatest angle of an elbow of the connector", "deg"),
        ("connector.elbows", "Elbows the connector may have", ""),
        ("chimney.offset_angle", "Greatest angle of an offset of the chimney from the vertical", "deg"),
        ("chimney.elbows", "Elbows the chimney may have", ""),
    ):
        rule = workings.rulebook.find(key)
        if rule is not None:
            yield Step(says, result=rule.value, unit=unit, source=rule.source)
