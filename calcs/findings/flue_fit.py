"""Whether the flue is wide enough and of the class that the appliance asks for."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.designation import Designation, parse_designation
from calcs.findings.finding import Finding
from calcs.room_limits import flue_size_of
from calcs.routes import LINED_CHIMNEY
from calcs.steps import Step
from calcs.wording import Wording
from calcs.workings import Workings


def flue_size(workings: Workings, say: Wording) -> Finding | None:
    """Compare the flue with the collar and with the least the rule book asks for.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None without collar or flue
    """
    collar, inner = workings.appliance.collar_diameter, workings.chimney.inner_diameter
    size = flue_size_of(workings)
    if collar is None or inner is None or size is None or size.limit is None:
        return None
    flue, over = say.length(inner), f"{say.length(collar)} collar"
    least, widest = size.limit.minimum or 0.0, size.limit.maximum
    if inner < collar - EQUAL_WITHIN:
        sentence = f"The {flue} flue is smaller than the {over}: load a larger chimney."
        return Finding("flue size", Outcome.FAIL, sentence, inner - collar)
    if inner < least - EQUAL_WITHIN:
        return Finding("flue size", Outcome.FAIL, _below_table(workings, say), inner - least)
    if widest is not None and inner > widest + EQUAL_WITHIN:
        return Finding(
            "flue size",
            Outcome.FAIL,
            f"The {flue} flue is too wide for the {over}, at most {say.most(widest)}: it would not draw.",
            widest - inner,
        )
    enough = f"The {flue} flue is no smaller than the {over}"
    if gap := _table_gap(workings):
        return Finding("flue size", Outcome.UNKNOWN, f"{enough}; {gap}.", inner - least)
    told = f"{enough}."
    if size.row is not None:
        asked = say.least(size.row.one("diameter") or 0.0)
        told = f"{enough}, nor than the {asked} asked for ({size.row.source.reference})."
    return Finding("flue size", Outcome.PASS, told, inner - least)


def _table_gap(workings: Workings) -> str:
    """Say why the rule book's table does not tell the least size, where it should."""
    appliance, table = workings.appliance, workings.rulebook.table("chimney.flue_size")
    if table is None or appliance.kind == "open fire" or appliance.fuel == "pellets":
        return ""
    size = flue_size_of(workings)
    if size is None or size.row is not None:
        return ""
    if not appliance.nominal_output:
        return f"what {table.source.reference} asks for is not known without the appliance's output"
    return f"{table.source.reference} ends below the appliance's output, so its maker has to size the flue"


def _below_table(workings: Workings, say: Wording) -> str:
    size, inner = flue_size_of(workings), workings.chimney.inner_diameter or 0.0
    if size is None or size.row is None:
        return ""
    least = say.least(size.row.one("diameter") or 0.0)
    sentence = (
        f"The {say.length(inner)} flue is smaller than the {least} asked for: {size.row.name} "
        f"({size.row.source.reference})"
    )
    smaller = size.smaller.one("diameter") if size.smaller is not None else None
    if smaller is not None and inner >= smaller - EQUAL_WITHIN:
        return (
            f"{sentence}. {say.least(smaller)} would do for an appliance exempt in smoke control areas: say "
            "so on its sheet."
        )
    return f"{sentence}: load a larger chimney."


def _listed_liner(workings: Workings) -> Finding | None:
    """Class a liner is listed to, where the rule book names one; whether this one is stands on its label."""
    rule = workings.rulebook.find("liner.listing")
    if rule is None:
        return None
    sentence = f"{rule.as_printed} Look for that listing on its label."
    return Finding("designation", Outcome.PASS, sentence)


def designation(workings: Workings, say: Wording) -> Finding | None:
    """Hold the chimney's designation, or the class its country lists it to, against the appliance.

    Parameters
    ----------
    workings : Workings
        The working of the plan; receives the steps
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None where there is nothing to hold
    """
    text = workings.chimney.designation.strip()
    if workings.survey.route == LINED_CHIMNEY and not text:
        return _listed_liner(workings)
    european = workings.rulebook.find("designation.sootfire") is not None
    if not text or not (european or _reads(text)):
        return _listed_class(workings, say)
    try:
        found = parse_designation(text)
    except ValueError as error:
        why = str(error).removeprefix("designation: ")
        return Finding(
            "designation",
            Outcome.UNKNOWN,
            f"The chimney's designation “{text}” cannot be read: {why}. Copy it from the chimney's plate.",
        )
    workings.working["designation"] = _steps(workings, found)
    faults = _faults(workings, found, say)
    if faults:
        return Finding("designation", Outcome.FAIL, " ".join(faults))
    gas = workings.appliance.flue_gas_temperature
    stays = f"; the flue gas stays at {say.temperature(gas)}" if gas is not None else ""
    near = (
        f" and stands {say.least(found.distance)} or more from combustible material"
        if found.distance is not None
        else ""
    )
    return Finding(
        "designation",
        Outcome.PASS,
        f"By its designation the chimney is for flue gas up to {say.temperature(found.temperature)}{stays}; "
        f"it withstands a soot fire{near}.",
    )


def _reads(text: str) -> bool:
    try:
        parse_designation(text)
    except ValueError:
        return False
    return True


def _faults(workings: Workings, found: Designation, say: Wording) -> list[str]:
    appliance, chimney, book = workings.appliance, workings.chimney, workings.rulebook
    gas, least = appliance.flue_gas_temperature, book.value("designation.temperature")
    faults = []
    if gas is not None and gas > found.temperature:
        faults.append(
            f"The chimney's class {found.temperature_class} is for flue gas up to "
            f"{say.temperature(found.temperature)}; the appliance's is {say.temperature(gas)}."
        )
    elif least is not None and found.temperature < least:
        faults.append(f"Solid fuel asks for class T{least:.0f}; the chimney is {found.temperature_class}.")
    if not found.sootfire_resistant:
        faults.append("The chimney does not withstand a soot fire (class O): solid fuel asks for class G.")
    asked = book.value("designation.corrosion")
    if asked is not None and appliance.kind == "open fire" and appliance.fuel == "wood":
        asked -= 1
    if asked is not None and found.corrosion.isdigit() and int(found.corrosion) < asked:
        faults.append(f"Corrosion class {found.corrosion} is too low: {appliance.fuel} asks for {asked:g}.")
    if (
        found.distance is not None
        and chimney.clearance is not None
        and found.distance > chimney.clearance + EQUAL_WITHIN
    ):
        faults.append(
            f"The designation asks for {say.least(found.distance)} to combustible material, its sheet gives "
            f"{say.least(chimney.clearance)}: enter the larger on the sheet."
        )
    return faults


def _steps(workings: Workings, found: Designation) -> tuple[Step, ...]:
    temperature, gas = found.temperature, workings.appliance.flue_gas_temperature
    says = f"{found.temperature_class}: nominal working temperature"
    steps = [Step(says, "", "", temperature, "degC", "temperature")]
    if gas is not None:
        steps.append(Step("Flue gas of the appliance", "", "", gas, "degC", "temperature"))
    words = "withstands" if found.sootfire_resistant else "does not withstand"
    steps.append(Step(f"{found.sootfire}: {words} a soot fire"))
    if found.distance is not None:
        says = "Distance to combustible material by the designation"
        steps.append(Step(says, "", "", found.distance, "m", "length"))
    if workings.chimney.clearance is not None:
        says = "Clearance by the chimney's sheet"
        steps.append(Step(says, "", "", workings.chimney.clearance, "m", "length"))
    steps.append(Step(f"{found.corrosion}: corrosion resistance"))
    if found.liner_thickness is not None:
        says = f"Liner of material {found.liner_material}, thickness"
        steps.append(Step(says, "", "", found.liner_thickness, "m", "length"))
    return tuple(steps)


def _listed_class(workings: Workings, say: Wording) -> Finding | None:
    """Hold the flue gas against the class that chimneys for solid fuel are listed to."""
    rule, gas = (
        workings.rulebook.find("chimney.continuous_temperature"),
        workings.appliance.flue_gas_temperature,
    )
    if rule is None or rule.value is None or gas is None:
        return None
    short = workings.rulebook.value("chimney.short_temperature")
    withstood = f" and {say.temperature(short)} for a short time" if short is not None else ""
    workings.working["designation"] = (
        Step(
            f"{rule.source.reference}: flue gas, continuously at most",
            "",
            "",
            rule.value,
            "degC",
            "temperature",
            rule.source,
        ),
        Step("Flue gas of the appliance", "", "", gas, "degC", "temperature"),
    )
    sentence = (
        f"A chimney listed to {rule.source.reference} bears {say.temperature(rule.value)} continuously"
        f"{withstood}; the appliance's flue gas is {say.temperature(gas)}."
    )
    if gas > rule.value:
        return Finding("designation", Outcome.FAIL, f"{sentence} It is too hot for such a chimney.")
    return Finding("designation", Outcome.PASS, f"{sentence} Look for that listing on its label.")
