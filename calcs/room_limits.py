"""Limits of the room: hearth, connector, flue, air and alarms, with how each was reckoned."""

from __future__ import annotations

from calcs.checks import Limit, Provenance, Source, SourceKind
from calcs.connector import connector_limits
from calcs.connector_clearance import clearance_by_steps
from calcs.flue_size import FlueSize, flue_size
from calcs.hearth import hearth_limits
from calcs.routes import LINED_CHIMNEY, THROUGH_WALL
from calcs.sheets import appliance_source, by_sheet
from calcs.steps import Step
from calcs.survey import Appliance
from calcs.workings import Workings

Limits = dict[str, Limit]

_COLLAR = Source(SourceKind.COMMON_PRACTICE, "common practice", provenance=Provenance.MEMORY)
#: Limits of the connector that a site is told; the sharpest bend and what it passes are told in words.
_CONNECTOR_LIMITS = (
    "connector.clearance",
    "connector.slope",
    "connector.run",
    "connector.length",
    "connector.unsupported_run",
    "connector.elbows",
    "connector.screws_per_joint",
    "connector.overlap",
    "connector.thickness",
)


def hearth_limits_of(workings: Workings) -> Limits:
    """What the hearth has to offer.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives what is missing

    Returns
    -------
    dict of str to Limit
        hearth.* [m, m2K/W]
    """
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
        board_stays_cool=appliance.hearth_below_100,
    )
    if not appliance.hearth_rear and not workings.rulebook.find(_rear_rule(appliance)):
        # A sheet that asks for none behind the appliance leaves nothing to measure there.
        found.pop("hearth.rear", None)
    # Where the rule book asks for a thickness, the resistance is no measure of a hearth.
    if appliance.hearth_resistance is None and "hearth.thickness" not in found:
        workings.missing.add("appliance.hearth_resistance", "choose the floor protection")
    return {name: by_sheet(limit, appliance_source(appliance)) for name, limit in found.items()}


def _rear_rule(appliance: Appliance) -> str:
    return f"hearth.rear.{'listed' if appliance.listed else 'unlisted'}"


def connector_limits_of(workings: Workings) -> Limits:
    """What the connector has to keep.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps and what is missing

    Returns
    -------
    dict of str to Limit
        connector.* [m, counts and ratios]
    """
    survey, appliance, plan = workings.survey, workings.appliance, workings.sections
    source = appliance_source(appliance)
    found = connector_limits(
        workings.rulebook,
        kind=survey.connector_kind,
        outer_diameter=connector_outside(workings),
        diameter=appliance.collar_diameter,
        chimney_height=plan.total if plan and plan.pieces else workings.liner_length,
        protection=survey.connector_protection,
        listed_clearance=appliance.connector_clearance,
    )
    clearance = clearance_by_steps(
        workings.rulebook,
        kind=survey.connector_kind,
        outer_diameter=connector_outside(workings),
        protection=survey.connector_protection,
        listed_clearance=appliance.connector_clearance,
    )
    if clearance is None:
        single = survey.connector_kind == "single wall"
        workings.missing.add(
            "appliance.collar_diameter" if single else "appliance.connector_clearance",
            "keep the connector clear",
        )
    else:
        workings.working["connector"] = (Step("Clearance to combustible material"), *clearance.reckoning)
    return {name: by_sheet(found[name], source) for name in _CONNECTOR_LIMITS if name in found}


def connector_outside(workings: Workings) -> float | None:
    """Outside of the connector: the collar it is sized to, with the thickest wall the rule book knows.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    float or None
        Outside diameter; None without the collar [m]
    """
    collar = workings.appliance.collar_diameter
    wall = workings.rulebook.value("connector.wall_thickness") or 0.0
    return None if collar is None else collar + 2 * wall


def flue_size_of(workings: Workings) -> FlueSize | None:
    """How wide the flue has to be and may be.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    FlueSize or None
        The limit and the rows it rests on; None without collar or flue [m]
    """
    appliance = workings.appliance
    if appliance.collar_diameter is None or workings.chimney.inner_diameter is None:
        return None
    output = appliance.nominal_output
    return flue_size(
        workings.rulebook,
        collar_diameter=appliance.collar_diameter,
        kind=appliance.kind,
        fuel=appliance.fuel,
        output_kw=output / 1000 if output else None,
        exterior=flue_outdoors(workings),
        exempt=appliance.smoke_exempt,
    )


def flue_outdoors(workings: Workings) -> bool:
    """Whether one or more sides of the chimney are outdoors below the roof.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    bool
        As the route or the survey has it
    """
    survey = workings.survey
    lined_outdoors = survey.route == LINED_CHIMNEY and survey.chimney_place == "outside"
    return survey.route == THROUGH_WALL or lined_outdoors


def flue_limits_of(workings: Workings) -> Limits:
    """How wide the flue is, by collar and rule book.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps and what is missing

    Returns
    -------
    dict of str to Limit
        flue.size [m]
    """
    workings.known("compare the flue with the collar", "appliance.collar_diameter", "chimney.inner_diameter")
    size, appliance = flue_size_of(workings), workings.appliance
    if size is None or size.limit is None:
        return {}
    workings.working["flue size"] = _flue_steps(workings, size)
    closed = appliance.kind != "open fire" and appliance.fuel != "pellets"
    if closed and workings.rulebook.table("chimney.flue_size") is not None:
        workings.known("find the least flue the rule book asks for", "appliance.nominal_output")
    limit = size.limit
    if limit.source.kind is SourceKind.LISTING:
        limit = Limit(limit.minimum, limit.maximum, limit.unit, _COLLAR)
    return {"flue.size": limit}


def _flue_steps(workings: Workings, size: FlueSize) -> tuple[Step, ...]:
    appliance, chimney = workings.appliance, workings.chimney
    sheet = appliance_source(appliance)
    steps = [Step("Collar of the appliance", "", "d", appliance.collar_diameter, "m", "length", sheet)]
    if size.row is not None:
        least = size.row.one("diameter")
        says = f"Least flue for {size.row.name}"
        steps.append(Step(says, "", "D₁", least, "m", "length", size.row.source))
    limit = size.limit
    if limit is not None:
        relation = "the larger of d and D₁" if size.row is not None else "d"
        steps.append(Step("The flue is at least", relation, "", limit.minimum, "m", "length", limit.source))
        share = workings.rulebook.find(
            f"chimney.flue_area.{'exterior' if flue_outdoors(workings) else 'interior'}"
        )
        if limit.maximum is not None and share is not None:
            relation = f"d × √{share.value:g}"
            says = f"Its area is at most {share.value:g} times the collar's, so it is at most"
            steps.append(Step(says, relation, "", limit.maximum, "m", "length", share.source))
    steps.append(Step("Flue of the chimney", "", "D", chimney.inner_diameter, "m", "length"))
    return tuple(steps)
