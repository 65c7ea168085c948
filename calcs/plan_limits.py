"""The limits a plan hands to the site: each stage measures against exactly these."""

from __future__ import annotations

from calcs.alarms import alarm_limits
from calcs.checks import EQUAL_WITHIN, Check, Limit, Source, SourceKind
from calcs.room_air import air_limits
from calcs.room_checks import room_measures
from calcs.room_limits import connector_limits_of, connector_outside, flue_limits_of, hearth_limits_of
from calcs.routes import FLAT_CEILING, LINED_CHIMNEY, THROUGH_WALL, VAULTED_CEILING
from calcs.routes.liner_plan import above_passage, gap_around, liner_limits
from calcs.routes.vault import vault_limits
from calcs.routes.wall import THROUGH
from calcs.routes.wall_plan import thimble_limit, wall_limits_of
from calcs.sheets import appliance_source, chimney_source
from calcs.survey import Survey
from calcs.wall_limits import appliance_clearance, wall_limits
from calcs.workings import Workings

__all__ = ["Limits", "appliance_clearance", "checks_of", "limits_of"]

_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "geometry of the framing and the chimney's listing")

Limits = dict[str, Limit]

#: Limit of the plan -> (rule of the book, side).
_RULE_LIMITS = {
    "support.screws_per_side": ("support.screws_per_side", "minimum"),
    "flashing.nail_spacing": ("flashing.nail_spacing", "maximum"),
    "flashing.nail_edge": ("flashing.nail_edge", "range"),
    "flashing.upper_cover": ("flashing.upper_cover", "minimum"),
    "termination.above_radius": ("termination.above_radius", "minimum"),
    "fuel.moisture": ("fuel.moisture", "maximum"),
    "sweep.deposit": ("sweep.deposit", "maximum"),
}


def limits_of(workings: Workings) -> Limits:
    """Limits that can be computed; one that cannot is absent, so that its measure stays unknown.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    dict of str to Limit
        Limits by name, in the order the job meets them [m, Pa, counts and ratios]

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> from calcs.workings import work_out
    >>> limits = limits_of(work_out(Survey(), Appliance(), Chimney(), load_rulebook("us")))
    >>> round(limits["flashing.nail_spacing"].maximum, 4), "chimney.clearance" in limits
    (0.1016, False)
    """
    limits: Limits = {}
    limits |= wall_limits(workings)
    limits |= hearth_limits_of(workings)
    limits |= air_limits(workings)
    _framing_limits(workings, limits)
    if workings.survey.route == FLAT_CEILING:
        _attic_limits(workings, limits)
    elif workings.survey.route == VAULTED_CEILING:
        limits |= vault_limits(workings)
    elif workings.survey.route == THROUGH_WALL:
        limits |= wall_limits_of(workings)
    elif workings.survey.route == LINED_CHIMNEY:
        limits |= liner_limits(workings)
    _roof_limits(workings, limits)
    _flue_limits(workings, limits)
    limits |= connector_limits_of(workings)
    _connected_limits(workings, limits)
    for name, (key, side) in _RULE_LIMITS.items():
        if name.startswith(_unused(workings.survey)):
            continue
        if limit := workings.rulebook.limit(key, side):
            limits[name] = limit
    limits |= alarm_limits(workings.rulebook)
    if workings.appliance.least_draft is not None:
        least = _least(workings.appliance.least_draft, "Pa", appliance_source(workings.appliance))
        limits["draft.measured"] = limits["service.draft"] = least
    return limits


def _unused(survey: Survey) -> tuple[str, ...]:
    """How the names of rules begin that the route has nothing for."""
    if survey.route == LINED_CHIMNEY:
        return ("support.screws", "flashing.")
    if survey.route != THROUGH_WALL:
        return ()
    return ("support.screws",) if survey.eaves_way == THROUGH else ("support.screws", "flashing.")


def _connected_limits(workings: Workings, limits: Limits) -> None:
    """Limits of what the connector leads into, which its own limits are part of."""
    if workings.survey.route == THROUGH_WALL:
        height = limits_of_thimble(workings)
        if height is not None:
            limits["thimble.height"] = height


def _least(value: float, unit: str, source: Source) -> Limit:
    return Limit(value, None, unit, source)


def _most(value: float, unit: str, source: Source) -> Limit:
    return Limit(None, value, unit, source)


def _offset_name(workings: Workings) -> str:
    return "thimble.offset" if workings.survey.route == THROUGH_WALL else "support.plumb_offset"


def _framing_limits(workings: Workings, limits: Limits) -> None:
    opening, clear = workings.opening, workings.bay_clear
    source = chimney_source(workings.chimney)
    if opening is not None and clear is not None and opening <= clear + EQUAL_WITHIN:
        limits[_offset_name(workings)] = _most(max(0.0, (clear - opening) / 2), "m", _GEOMETRY)
    if opening is not None:
        limits["framing.bay_clear"] = _least(opening, "m", source)
        limits["framing.opening"] = _least(opening, "m", source)
    # The listed projection is the length of the part; how little of it may show is the trade's figure.
    projection = workings.rulebook.limit("support.projection")
    if projection and workings.survey.route in {FLAT_CEILING, VAULTED_CEILING}:
        limits["support.projection"] = projection
    if workings.chimney.clearance is not None and workings.survey.route != LINED_CHIMNEY:
        limits["chimney.clearance"] = _least(workings.chimney.clearance, "m", source)


def _attic_limits(workings: Workings, limits: Limits) -> None:
    chimney = workings.chimney
    if chimney.shield_above_insulation is not None:
        limits["shield.above_insulation"] = _least(
            chimney.shield_above_insulation, "m", chimney_source(chimney)
        )
    elif limit := workings.rulebook.limit("shield.above_insulation"):
        limits["shield.above_insulation"] = limit
    if "chimney.clearance" in limits:
        limits["enclosure.clearance"] = limits["chimney.clearance"]


def _roof_limits(workings: Workings, limits: Limits) -> None:
    hole, termination = workings.roof_opening, workings.termination
    if hole is not None:
        source = chimney_source(workings.chimney)
        limits["roof.opening.across"] = _least(hole.across, "m", source)
        if workings.survey.deck_thickness is not None or not workings.levels.rise:
            limits["roof.opening.along"] = _least(hole.along_square_cut, "m", source)
    if termination is not None and workings.survey.route != THROUGH_WALL:
        limits["termination.above_penetration"] = _least(
            termination.height_above_penetration, "m", termination.source
        )
    if workings.survey.route == LINED_CHIMNEY:
        return
    if workings.chimney.brace_threshold is not None:
        limits["termination.unbraced"] = _most(
            workings.chimney.brace_threshold, "m", chimney_source(workings.chimney)
        )
    elif limit := workings.rulebook.limit("termination.brace_threshold", "maximum"):
        limits["termination.unbraced"] = limit


def _flue_limits(workings: Workings, limits: Limits) -> None:
    limits |= flue_limits_of(workings)
    if limit := workings.rulebook.limit("chimney.least_height"):
        limits["flue.height"] = limit
    chimney = workings.chimney
    if workings.survey.route == LINED_CHIMNEY:
        return
    outdoors = workings.survey.route == THROUGH_WALL
    carries = chimney.wall_supported_height if outdoors else chimney.supported_height
    if carries is not None:
        name = "wall.support_height" if outdoors else "support.height"
        limits[name] = _most(carries, "m", chimney_source(chimney))


def _route_measures(workings: Workings) -> tuple[tuple[str, float | None, str], ...]:
    """What only one route's survey or sheet can already meet."""
    survey, chimney = workings.survey, workings.chimney
    if survey.route == VAULTED_CEILING:
        vented = "survey.vent_space" if survey.rafter_vented else ""
        return (("box.height", chimney.box_height, ""), ("rafter.vent_space", survey.vent_space, vented))
    if survey.route == LINED_CHIMNEY:
        touches = "" if chimney.liner_zero_clearance else "survey.masonry_clearance"
        return (
            ("liner.room", gap_around(workings), ""),
            ("masonry.clearance", survey.masonry_clearance, touches),
            ("masonry.wall", survey.masonry_wall, "survey.masonry_wall"),
            ("termination.above_penetration", above_passage(workings), ""),
        )
    if survey.route == THROUGH_WALL:
        return (("thimble.height", survey.thimble_height, "survey.thimble_height"),)
    return (("support.projection", chimney.support_projection, ""),)


def checks_of(workings: Workings, limits: Limits) -> tuple[Check, ...]:
    """Hold what the survey measured against the limits.

    Parameters
    ----------
    workings : Workings
        The working of the plan; what was not measured is added to what is missing
    limits : dict of str to Limit
        Limits of the plan

    Returns
    -------
    tuple of Check
        One check for each limit that a survey can already meet

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> from calcs.workings import work_out
    >>> worked = work_out(Survey(rear_wall=1.0), Appliance(listed=False), Chimney(), load_rulebook("us"))
    >>> str(checks_of(worked, limits_of(worked))[0].outcome)
    'pass'
    """
    survey = workings.survey
    offset = workings.plumb_offset
    measured: tuple[tuple[str, float | None, str], ...] = (
        ("appliance.clearance.corner", survey.corner_wall, "survey.corner_wall"),
        ("appliance.clearance.rear", survey.rear_wall, "survey.rear_wall"),
        ("appliance.clearance.left", survey.left_wall, "survey.left_wall"),
        ("appliance.clearance.right", survey.right_wall, "survey.right_wall"),
        ("appliance.clearance.front", survey.front_space, "survey.front_space"),
        ("framing.bay_clear", workings.bay_clear, ""),
        (_offset_name(workings), None if offset is None else abs(offset), ""),
        *_route_measures(workings),
        *room_measures(workings, limits),
    )
    checks = []
    for name, value, missing in measured:
        if name not in limits:
            continue
        if value is None and missing:
            workings.missing.add(missing, "check it against its limit")
        if value is None and not missing and name == "masonry.clearance":
            continue
        checks.append(Check(name, None if value is None else float(value), limits[name]))
    checks.append(Check("flue.size", workings.chimney.inner_diameter, limits.get("flue.size")))
    return tuple(checks)


def limits_of_thimble(workings: Workings) -> Limit | None:
    """Between which heights the thimble's centre lies, where there is room for it.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    Limit or None
        Least and greatest height above the floor [m]; None where not known, or where there is no room
    """
    clearance = connector_limits_of(workings).get("connector.clearance")
    limit = thimble_limit(workings, clearance, connector_outside(workings))
    if limit is None or limit.minimum is None:
        return None
    return limit if limit.maximum is None or limit.minimum <= limit.maximum else None
