"""Air for the fire in the plan: the vents the rule book asks for, over all that is not known."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from calcs.air_supply import open_fire_vent_area, permanent_vent_area, vent_rates
from calcs.checks import EQUAL_WITHIN, Limit, Source
from calcs.steps import Step
from calcs.workings import Workings

_HOUR = 3600.0
#: Any figure above the bound counts as a leaky house; this many times the bound stands for all of them.
_LEAKY = 2.0


@dataclass(frozen=True)
class AirNeed:
    """Free area of vents the rule book asks for [m2], least and most over what is not known.

    `unknown` names the inputs that would tell; it is empty where the answer does not hang on them.
    """

    least: float
    most: float
    source: Source
    unknown: tuple[str, ...] = ()


def air_need(workings: Workings) -> AirNeed | None:
    """Vent area the appliance needs.

    Parameters
    ----------
    workings : Workings
        The working of the plan

    Returns
    -------
    AirNeed or None
        The area; None where the rule book asks for none or what it hangs on is missing altogether [m2]
    """
    if workings.appliance.kind == "open fire":
        return _open_fire(workings)
    rule = workings.rulebook.find("air_supply.permeability")
    output = workings.appliance.nominal_output
    if rule is None or rule.value is None or not output:
        return None
    kilowatts = output / 1000
    bound = rule.value * _HOUR
    leakage = workings.survey.air_permeability
    stabiliser = workings.appliance.draught_stabiliser
    leaks = [bound, bound * _LEAKY] if leakage is None else [leakage * _HOUR]
    answers = [
        permanent_vent_area(kilowatts, workings.rulebook, one, fitted)
        for one, fitted in itertools.product(leaks, [False, True] if stabiliser is None else [stabiliser])
    ]
    areas = [area for area in answers if area is not None]
    if not areas:
        return None
    unknown = [
        name
        for name, value in (
            ("survey.air_permeability", leakage),
            ("appliance.draught_stabiliser", stabiliser),
        )
        if value is None
    ]
    hangs = max(areas) > min(areas) + EQUAL_WITHIN
    return AirNeed(min(areas), max(areas), rule.source, tuple(unknown) if hangs else ())


def _open_fire(workings: Workings) -> AirNeed | None:
    inner = workings.chimney.inner_diameter
    rule = workings.rulebook.find("air_supply.open_canopy")
    if inner is None or rule is None or not inner > 0:
        return None
    area = open_fire_vent_area(math.pi / 4 * inner**2, workings.rulebook, "canopy")
    return None if area is None else AirNeed(area, area, rule.source)


def air_limits(workings: Workings) -> dict[str, Limit]:
    """Vent area as a limit, where what is not known does not matter to the answer.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps and what is missing

    Returns
    -------
    dict of str to Limit
        air.vent_area; absent where no vent is asked for or that is not known yet [m2]
    """
    asks = workings.rulebook.find("air_supply.permeability") is not None
    if asks and workings.appliance.kind != "open fire":
        workings.known("find the air vents the rule book asks for", "appliance.nominal_output")
    need = air_need(workings)
    if need is None:
        return {}
    workings.working["air"] = _steps(workings, need)
    given = workings.survey.air_vent_area
    if need.most <= EQUAL_WITHIN:
        return {}
    if given is None:
        workings.missing.add("survey.air_vent_area", "hold them against what the rule book asks for")
    if not need.unknown or (given is not None and given >= need.most - EQUAL_WITHIN):
        return {"air.vent_area": Limit(need.most, None, "m2", need.source)}
    if given is not None and given < need.least - EQUAL_WITHIN:
        return {"air.vent_area": Limit(need.least, None, "m2", need.source)}
    for name in need.unknown:
        workings.missing.add(name, "find the air vents the rule book asks for")
    return {}


def _steps(workings: Workings, need: AirNeed) -> tuple[Step, ...]:
    appliance, survey = workings.appliance, workings.survey
    if appliance.kind == "open fire":
        says = "Vents of half the area of the flue; under a fire with a throat, half of the throat's"
        return (
            Step("Flue of the chimney", "", "D", workings.chimney.inner_diameter, "m", "length"),
            Step(says, "50 % × π/4 × D²", "A", need.most, "m2", "area", need.source),
        )
    steps = [Step("Rated output", "", "P", appliance.nominal_output, "W", "power")]
    if survey.air_permeability is not None:
        says, kind = "Air permeability of the house at 50 Pa", "air permeability"
        steps.append(Step(says, "", "q", survey.air_permeability, "m/s", kind))
    if need.unknown:
        steps.append(Step("Vents at the least", "", "", need.least, "m2", "area", need.source))
        says = "Vents whatever the house leaks and the flue is fitted with"
        steps.append(Step(says, "", "A", need.most, "m2", "area", need.source))
        return tuple(steps)
    fitted = bool(appliance.draught_stabiliser)
    if fitted:
        steps.append(Step("A draught stabiliser is fitted"))
    leakage = survey.air_permeability
    rates = vent_rates(
        (appliance.nominal_output or 0.0) / 1000,
        workings.rulebook,
        None if leakage is None else leakage * _HOUR,
        fitted,
    )
    for part in rates or ():
        relation = f"{part.output / 1000:g} kW × {part.rate * 1e9:g} mm²/kW"
        steps.append(Step("Vents for this part", relation, "", part.area, "m2", "area", part.source))
    steps.append(Step("Vents at least", "", "A", need.most, "m2", "area", need.source))
    return tuple(steps)
