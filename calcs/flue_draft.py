"""The draft of a plan: theoretical, and where the inputs allow it what cooling, friction and wind leave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from calcs.atmosphere import pressure_at_altitude
from calcs.draft import theoretical_draft
from calcs.flue_run import run_flue
from calcs.flue_steps import flue_steps, temperature_steps
from calcs.sheets import appliance_source
from calcs.steps import Step

if TYPE_CHECKING:
    from calcs.workings import Workings


def find_draft(workings: Workings) -> None:
    """Find the draft of the flue from the appliance's collar to the outlet.

    Parameters
    ----------
    workings : Workings
        The working so far; receives `height_total`, `theoretical_draft`, `flue` and its working
    """
    collar = workings.known("find the draft", "appliance.collar_height")
    if not collar or workings.outlet is None:
        return
    workings.height_total = workings.outlet - collar[0]
    gases = workings.known(
        "find the draft",
        "appliance.flue_gas_temperature",
        "survey.outside_temperature",
        "survey.altitude",
    )
    if not gases or workings.height_total <= 0:
        return
    flue, outside, altitude = gases
    pressure = pressure_at_altitude(altitude)
    workings.theoretical_draft = theoretical_draft(workings.height_total, flue, outside, pressure)
    try:
        workings.flue = run_flue(
            workings.survey,
            workings.appliance,
            workings.chimney,
            outlet=workings.outlet,
            stack=workings.sections,
        )
    except ValueError as error:
        workings.flue_refusal = str(error)
    _show(workings, pressure)


def _show(workings: Workings, pressure: float) -> None:
    """Put the working into steps."""
    sheet, run, height = appliance_source(workings.appliance), workings.flue, workings.height_total
    gas, outside = workings.appliance.flue_gas_temperature, workings.survey.outside_temperature
    if run is None:
        workings.working["draft"] = (
            Step("Collar to outlet", "", "H", height, "m", "length"),
            Step("Pressure of the standard atmosphere", "", "p", pressure, "Pa"),
            Step("Flue gas", "", "t_m", gas, "degC", "temperature", sheet),
            Step("Air outside", "", "t_L", outside, "degC", "temperature"),
            Step(
                "Theoretical draft",
                "P_H = H g (p / (287.05 T_L) - p / (287.05 T_m))",
                "P_H",
                workings.theoretical_draft,
                "Pa",
                "draft",
            ),
        )
        return
    workings.working["draft"] = flue_steps(run, run.nominal, sheet)
    if run.least is not None:
        workings.working["draft at least output"] = flue_steps(run, run.least, sheet)
    workings.working["flue temperature"] = temperature_steps(run)
