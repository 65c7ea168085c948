"""The limits a plan hands to the site: each stage measures against exactly these."""

from __future__ import annotations

from dataclasses import replace

from calcs.checks import EQUAL_WITHIN, Check, Limit, Provenance, Source, SourceKind
from calcs.clearance import Clearance, reduced_clearance, unlisted_clearance
from calcs.connector import connector_limits
from calcs.hearth import hearth_limits
from calcs.survey import Appliance, Chimney, Survey
from calcs.workings import Workings, widest_flue

#: Common trade figures that no rule book prints.
_MEMORY_PRACTICE = Source(SourceKind.COMMON_PRACTICE, "common practice", provenance=Provenance.MEMORY)
_GEOMETRY = Source(SourceKind.COMMON_PRACTICE, "geometry of the framing and the chimney's listing")

#: Side of the appliance -> position the listing and the rule book name.
SIDES = {"rear": "rear", "left": "side", "right": "side", "front": "front", "above": "above"}
#: Across a corner its two rear corners come nearest to the walls, and nothing else is held against them.
CORNER_SIDES = {"corner": "corner", "front": "front", "above": "above"}

Limits = dict[str, Limit]

#: Limit of the plan -> (rule of the book, side).
_RULE_LIMITS = {
    "support.screws_per_side": ("support.screws_per_side", "minimum"),
    "flashing.nail_spacing": ("flashing.nail_spacing", "maximum"),
    "flashing.nail_edge": ("flashing.nail_edge", "range"),
    "flashing.upper_cover": ("flashing.upper_cover", "minimum"),
    "termination.above_radius": ("termination.above_radius", "minimum"),
    "fuel.moisture": ("fuel.moisture", "maximum"),
    "alarm.co_distance": ("alarm.co_distance", "range"),
    "sweep.deposit": ("sweep.deposit", "maximum"),
}
#: The thickness of a hearth hangs on how hot it gets, which no sheet of an appliance is asked for here.
_HEARTH_LIMITS = (
    "hearth.front",
    "hearth.side",
    "hearth.rear",
    "hearth.width",
    "hearth.depth",
    "hearth.resistance",
)
_CONNECTOR_LIMITS = (
    "connector.clearance",
    "connector.slope",
    "connector.run",
    "connector.elbows",
    "connector.screws_per_joint",
    "connector.overlap",
)


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
    >>> from calcs.survey import Survey
    >>> from calcs.workings import work_out
    >>> limits = limits_of(work_out(Survey(), Appliance(), Chimney(), load_rulebook("us")))
    >>> round(limits["flashing.nail_spacing"].maximum, 4), "chimney.clearance" in limits
    (0.1016, False)
    """
    limits: Limits = {}
    _appliance_limits(workings, limits)
    _hearth_limits(workings, limits)
    _framing_limits(workings, limits)
    _attic_limits(workings, limits)
    _roof_limits(workings, limits)
    _flue_limits(workings, limits)
    _connector_limits(workings, limits)
    for name, (key, side) in _RULE_LIMITS.items():
        if limit := workings.rulebook.limit(key, side):
            limits[name] = limit
    if workings.appliance.least_draft is not None:
        least = _least(workings.appliance.least_draft, "Pa", appliance_source(workings.appliance))
        limits["draft.measured"] = limits["service.draft"] = least
    return limits


def appliance_source(appliance: Appliance) -> Source:
    """Sheet of the appliance as a source.

    Parameters
    ----------
    appliance : Appliance
        Listing data of the appliance

    Returns
    -------
    Source
        The sheet by its reference, or by the appliance's name

    Examples
    --------
    >>> appliance_source(Appliance(listing_reference="sheet 4")).reference
    'sheet 4'
    """
    return Source(
        SourceKind.LISTING, appliance.listing_reference or f"sheet of {appliance.name or 'appliance'}"
    )


def chimney_source(chimney: Chimney) -> Source:
    """Sheet of the chimney as a source.

    Parameters
    ----------
    chimney : Chimney
        Listing data of the chimney

    Returns
    -------
    Source
        The sheet by its reference, or by the chimney's name

    Examples
    --------
    >>> chimney_source(Chimney(listing_reference="sheet 4")).reference
    'sheet 4'
    """
    return Source(SourceKind.LISTING, chimney.listing_reference or f"sheet of {chimney.name or 'chimney'}")


def _least(value: float, unit: str, source: Source) -> Limit:
    return Limit(value, None, unit, source)


def _most(value: float, unit: str, source: Source) -> Limit:
    return Limit(None, value, unit, source)


def sides_of(survey: Survey) -> dict[str, str]:
    """Sides on which the appliance keeps a clearance, by how it stands.

    Parameters
    ----------
    survey : Survey
        What was measured

    Returns
    -------
    dict of str to str
        Side -> position the listing and the rule book name

    Examples
    --------
    >>> list(sides_of(Survey(placement="corner")))
    ['corner', 'front', 'above']
    """
    return CORNER_SIDES if survey.placement == "corner" else SIDES


def appliance_clearance(workings: Workings, side: str) -> Clearance | None:
    """Clearance of the appliance on one side, reduced by wall protection where that is allowed.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    side : str
        rear | left | right | corner | front | above

    Returns
    -------
    Clearance or None
        Clearance [m]; None when neither listing nor rule book gives one

    Notes
    -----
    In a corner one figure holds towards both walls, so the one with the lesser protection rules.
    """
    base = _unprotected(workings, {**SIDES, **CORNER_SIDES}[side])
    if base is None or base.minimum is None:
        return None
    walls = ("rear", "corner side") if side == "corner" else (side,)
    each = [_with_protection(workings, base.minimum, base.source, wall) for wall in walls]
    return max(each, key=lambda one: one.required)


def _with_protection(workings: Workings, figure: float, source: Source, wall: str) -> Clearance:
    protection = _protection(workings, wall)
    if not protection or not figure > 0:
        return Clearance(figure, source, (), False)
    appliance = workings.appliance
    return reduced_clearance(
        figure,
        protection,
        "wall",
        workings.rulebook,
        listed=appliance.listed,
        reduction_allowed=appliance.clearance_reduction_allowed,
        source=source,
    )


def _protection(workings: Workings, side: str) -> str:
    """Protection of the wall on one side; of a side wall not named as protected, none."""
    survey = workings.survey
    if side == "rear":
        return survey.rear_protection
    if side == "corner side":
        return survey.side_protection if survey.protected_sides else ""
    return survey.side_protection if survey.protected_sides in {side, "both"} else ""


def _unprotected(workings: Workings, position: str) -> Limit | None:
    appliance = workings.appliance
    if not appliance.listed:
        # A rear corner belongs to the back and to a side: the larger of the two holds.
        faces = ("rear", "side") if position == "corner" else (position,)
        found = [unlisted_clearance(appliance.kind, face, workings.rulebook) for face in faces]
        known = [one for one in found if one is not None]
        return max(known, key=lambda one: one.minimum or 0.0) if len(known) == len(found) else None
    figure: float | None = getattr(appliance, f"clearance_{position}")
    return None if figure is None else _least(figure, "m", appliance_source(appliance))


def _appliance_limits(workings: Workings, limits: Limits) -> None:
    appliance = workings.appliance
    for side, position in sides_of(workings.survey).items():
        clearance = appliance_clearance(workings, side)
        if clearance is not None:
            limits[f"appliance.clearance.{side}"] = _least(clearance.required, "m", clearance.source)
        else:
            owner = "appliance" if appliance.listed else "rulebook"
            workings.missing.add(f"{owner}.clearance_{position}", "check where the appliance stands")
    if workings.survey.side_protection and not workings.survey.protected_sides:
        workings.missing.add("survey.protected_sides", "count it")
    protected = workings.survey.rear_protection or workings.survey.side_protection
    if protected and appliance.listed and appliance.clearance_reduction_allowed is None:
        workings.missing.add("appliance.clearance_reduction_allowed", "count the wall protection")


def _by_sheet(limit: Limit, source: Source) -> Limit:
    """Name the sheet where a listing ruled."""
    return replace(limit, source=source) if limit.source.kind is SourceKind.LISTING else limit


def _hearth_limits(workings: Workings, limits: Limits) -> None:
    appliance = workings.appliance
    found = hearth_limits(
        workings.rulebook,
        listed=appliance.listed,
        kind=appliance.kind,
        listing={
            "front": appliance.hearth_front,
            "side": appliance.hearth_side,
            "rear": appliance.hearth_rear,
            "resistance": appliance.hearth_resistance,
        },
    )
    if not appliance.hearth_rear and not workings.rulebook.find(_rear_rule(appliance)):
        # A sheet that asks for none behind the appliance leaves nothing to measure there.
        found.pop("hearth.rear", None)
    for name in _HEARTH_LIMITS:
        if name in found:
            limits[name] = _by_sheet(found[name], appliance_source(appliance))
    # Where the rule book asks for a thickness, the resistance is no measure of a hearth.
    if appliance.hearth_resistance is None and not workings.rulebook.find("hearth.constructional_thickness"):
        workings.missing.add("appliance.hearth_resistance", "choose the floor protection")


def _rear_rule(appliance: Appliance) -> str:
    return f"hearth.rear.{'listed' if appliance.listed else 'unlisted'}"


def _framing_limits(workings: Workings, limits: Limits) -> None:
    opening, clear = workings.opening, workings.bay_clear
    source = chimney_source(workings.chimney)
    if opening is not None and clear is not None and opening <= clear + EQUAL_WITHIN:
        limits["support.plumb_offset"] = _most(max(0.0, (clear - opening) / 2), "m", _GEOMETRY)
    if opening is not None:
        limits["framing.bay_clear"] = _least(opening, "m", source)
        limits["framing.opening"] = _least(opening, "m", source)
    # The listed projection is the length of the part; how little of it may show is the trade's figure.
    if projection := workings.rulebook.limit("support.projection"):
        limits["support.projection"] = projection
    if workings.chimney.clearance is not None:
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
    if termination is not None:
        limits["termination.above_penetration"] = _least(
            termination.height_above_penetration, "m", termination.source
        )
    if workings.chimney.brace_threshold is not None:
        limits["termination.unbraced"] = _most(
            workings.chimney.brace_threshold, "m", chimney_source(workings.chimney)
        )
    elif limit := workings.rulebook.limit("termination.brace_threshold", "maximum"):
        limits["termination.unbraced"] = limit


def _flue_limits(workings: Workings, limits: Limits) -> None:
    known = workings.known(
        "compare the flue with the collar", "appliance.collar_diameter", "chimney.inner_diameter"
    )
    if known:
        rule = workings.rulebook.find("chimney.flue_area.least")
        source = rule.source if rule else _MEMORY_PRACTICE
        limits["flue.size"] = Limit(known[0], widest_flue(workings), "m", source)
    if limit := workings.rulebook.limit("chimney.least_height"):
        limits["flue.height"] = limit
    if workings.chimney.supported_height is not None:
        limits["support.height"] = _most(
            workings.chimney.supported_height, "m", chimney_source(workings.chimney)
        )


def _connector_outside(workings: Workings) -> float | None:
    """Outside of the connector: the collar it is sized to, with the thickest wall the rule book knows."""
    collar = workings.appliance.collar_diameter
    wall = workings.rulebook.value("connector.wall_thickness") or 0.0
    return None if collar is None else collar + 2 * wall


def _connector_limits(workings: Workings, limits: Limits) -> None:
    appliance, plan = workings.appliance, workings.sections
    found = connector_limits(
        workings.rulebook,
        kind=workings.survey.connector_kind,
        outer_diameter=_connector_outside(workings),
        chimney_height=plan.total if plan and plan.pieces else None,
        listed_clearance=appliance.connector_clearance,
    )
    for name in _CONNECTOR_LIMITS:
        if name in found:
            limits[name] = _by_sheet(found[name], appliance_source(appliance))
    if "connector.clearance" not in limits:
        single = workings.survey.connector_kind == "single wall"
        workings.missing.add(
            "appliance.collar_diameter" if single else "appliance.connector_clearance",
            "keep the connector clear",
        )


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
    >>> from calcs.survey import Survey
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
        ("hearth.front", survey.hearth_front, "survey.hearth_front"),
        ("hearth.side", survey.hearth_side, "survey.hearth_side"),
        ("framing.bay_clear", workings.bay_clear, ""),
        ("support.plumb_offset", None if offset is None else abs(offset), ""),
        ("support.projection", workings.chimney.support_projection, ""),
        ("connector.clearance", survey.connector_clearance, "survey.connector_clearance"),
        ("connector.run", survey.connector_run, "survey.connector_run"),
        ("connector.elbows", survey.connector_elbows, "survey.connector_elbows"),
    )
    checks = []
    for name, value, missing in measured:
        if name not in limits:
            continue
        if value is None and missing:
            workings.missing.add(missing, "check it against its limit")
        checks.append(Check(name, None if value is None else float(value), limits[name]))
    checks.append(Check("flue.size", workings.chimney.inner_diameter, limits.get("flue.size")))
    return tuple(checks)
