"""Whether the flue draws, at nominal output and at the least, and whether it stays dry."""

from __future__ import annotations

from dataclasses import replace

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.designation import parse_designation
from calcs.findings.finding import Finding
from calcs.findings.flue_words import named, refused
from calcs.flue_fittings import MILD_DAY, OVER_RIDGE
from calcs.flue_run import FiringResult, FlueRun
from calcs.fuels import FUELS
from calcs.wording import Wording
from calcs.workings import Workings

_AT = {"nominal": "At nominal output", "least": "At the least output"}
_TALLER = "Make the chimney taller, the connector straighter, or the chimney better insulated."


def draft(workings: Workings, say: Wording) -> Finding:
    """Hold the draft that is left at nominal output against what appliance and air need."""
    run = workings.flue
    if run is None:
        return _theoretical(workings, say)
    finding = _left(run, run.nominal, say, "draft")
    notes = []
    if run.crosswise_wind:
        notes.append(
            "If the room draws its air from beyond the ridge, wind may press on the outlet with "
            f"{say.draft(run.crosswise_wind)}: {say.length(OVER_RIDGE)} above the ridge it is clear of that."
        )
    if run.taken:
        notes.append(f"Reckoned with usual figures for want of this house's own: {named(run.taken)}.")
    if run.least is not None and run.least.required is None:
        wanted = named(["appliance.minimum_output_draft"])
        notes.append(f"To see whether it draws at the least output, add the {wanted}.")
    sentence = " ".join((finding.sentence, *notes))
    return replace(finding, sentence=sentence)


def draft_at_least_output(workings: Workings, say: Wording) -> Finding | None:
    """Hold the draft that is left at the least output against what is needed then."""
    run = workings.flue
    if run is None or run.least is None or run.least.required is None:
        return None
    return _left(run, run.least, say, "draft at least output")


def _left(run: FlueRun, result: FiringResult, say: Wording, topic: str) -> Finding:
    available, least = result.draft.available_draft, result.firing.least_draft
    taken_by = "cooling, friction and wind" if run.wind_pressure else "cooling and friction"
    base = (
        f"{_AT[result.firing.name]} {say.draft(available, 'down')} of draft is left after {taken_by}, with "
        f"{say.temperature(run.outside_temperature)} outside"
    )
    if least is None or result.required is None:
        return Finding(topic, Outcome.UNKNOWN, f"{base}; what the appliance needs is not known.")
    needs = (
        f"the appliance needs {say.draft(least, 'up')} and the air on its way in {say.draft(run.air_supply)}"
    )
    room = available - result.required
    if room < -EQUAL_WITHIN:
        sentence = f"{base}; {needs}: {say.draft(-room, 'up')} short. {_TALLER}"
        return Finding(topic, Outcome.FAIL, sentence, room, unit="Pa")
    sentence = f"{base}; {needs}: {say.draft(room, 'down')} to spare.{_mild(result, say)}"
    return Finding(topic, Outcome.PASS, sentence, room, unit="Pa")


def _mild(result: FiringResult, say: Wording) -> str:
    """What is left on the mild day on which the standard asks for the draft."""
    if result.mild_draft is None or result.required is None:
        return ""
    day = f"With {say.temperature(MILD_DAY)} outside"
    if result.mild_draft >= result.required - EQUAL_WITHIN:
        return f" {day} it still draws enough, {say.draft(result.mild_draft, 'down')}."
    return (
        f" {day} only {say.draft(result.mild_draft, 'down')} is left, less than it needs: expect it to draw "
        "badly on mild days, or make the chimney taller."
    )


def _theoretical(workings: Workings, say: Wording) -> Finding:
    """Hold the theoretical draft against what the appliance needs, where no more is known."""
    found, least = workings.theoretical_draft, workings.appliance.least_draft
    gas = workings.appliance.flue_gas_temperature
    if found is None or gas is None:
        return Finding("draft", Outcome.UNKNOWN, "The theoretical draft cannot be found yet.")
    base = (
        f"Theoretical draft {say.draft(found, 'down')} with flue gas at {say.temperature(gas)} and "
        f"{say.temperature(workings.survey.outside_temperature or 0.0)} outside, before cooling and friction"
    )
    if workings.flue_refusal:
        reason = refused(workings.flue_refusal)
        sentence = f"{base}. What is left of it cannot be found: {reason}. Correct that figure."
        return Finding("draft", Outcome.UNKNOWN, sentence)
    if least is None:
        return Finding("draft", Outcome.UNKNOWN, f"{base}; what the appliance needs is not known.")
    passes = found >= least - EQUAL_WITHIN
    rest = (
        "How much is left of it is measured when the first fire burns."
        if passes
        else "Make the chimney taller."
    )
    return Finding(
        "draft",
        Outcome.PASS if passes else Outcome.FAIL,
        f"{base}; the appliance needs {say.draft(least, 'up')}. {rest}{_to_add(workings)}",
        found - least,
        unit="Pa",
    )


def _to_add(workings: Workings) -> str:
    """What is missing to find how much of the theoretical draft is left."""
    appliance, chimney = workings.appliance, workings.chimney
    wanted = {
        "appliance.flue_gas_mass_flow": appliance.flue_gas_mass_flow
        or (appliance.nominal_output and appliance.efficiency),
        "appliance.collar_diameter": appliance.collar_diameter,
        "chimney.inner_diameter": chimney.inner_diameter,
        "chimney.outer_diameter": chimney.outer_diameter,
        "chimney.thermal_resistance": chimney.thermal_resistance,
    }
    missing = [name for name, value in wanted.items() if not value]
    return f" To reckon it beforehand, add: {named(missing)}." if missing else ""


def flue_temperature(workings: Workings, say: Wording) -> Finding | None:
    """Hold the wall at the outlet against the dew point; sulphur would raise it, so only wood is judged."""
    run = workings.flue
    if run is None or FUELS[workings.appliance.fuel].sulphur:
        return None
    wet = _built_for_water(workings)
    told = [one for one in run.firings if not one.firing.estimated]
    day = say.temperature(run.outside_temperature)
    sentences = [
        f"In steady burning with {day} outside the flue's wall at the outlet is {_walls(told, wet, say)}."
    ]
    gets_wet = [one for one in told if _gets_wet(one, wet)]
    # Burning low for an evening wets many a sound flue: only where a code asks does that fail the plan.
    fails = run.nominal in gets_wet or (gets_wet and workings.rulebook.find("flue.dry_at_least_output"))
    what = "icy" if wet else "wet, and tar with it"
    if not gets_wet:
        sentences.append("It stays free of ice." if wet else "It stays dry.")
    elif fails:
        sentences.append(
            f"It gets {what}: choose a better insulated chimney, or do not burn below what keeps it dry."
        )
    else:
        sentences.append(
            f"It gets {what}, when it is burnt low: tell the customer to burn it low for short times only, "
            "and to look for deposits oftener."
        )
    if run.least is not None and run.least.firing.estimated:
        sentences.append(_estimate(run.least, wet, say))
    outcome = Outcome.FAIL if fails else Outcome.PASS
    room = min(one.warm.wall_temperature_outlet - _driest(one, wet) for one in told)
    return Finding("flue temperature", outcome, " ".join(sentences), room, unit="K")


def _walls(results: list[FiringResult], wet: bool, say: Wording) -> str:
    walls = " and ".join(
        f"{say.temperature(one.warm.wall_temperature_outlet)} {_AT[one.firing.name].lower()}"
        for one in results
    )
    limit = (
        f"the chimney is built for condensate, so that only ice at {say.temperature(0.0)} has to be kept out"
        if wet
        else f"water falls out of the flue gas below {say.temperature(results[0].dew_point)}"
    )
    return f"{walls}; {limit}"


def _estimate(result: FiringResult, wet: bool, say: Wording) -> str:
    """What the least output comes to where the sheet has no figures for it; no estimate fails a plan."""
    wall = say.temperature(result.warm.wall_temperature_outlet)
    told = named(["appliance.minimum_gas_temperature", "appliance.minimum_gas_mass_flow"])
    if _gets_wet(result, wet):
        return f"{_AT['least']} it may be no more than {wall} and get wet: add the {told} to be sure."
    return f"{_AT['least']} it is about {wall}; add the {told} for a closer figure."


def _gets_wet(result: FiringResult, wet: bool) -> bool:
    return result.warm.wall_temperature_outlet < _driest(result, wet) - EQUAL_WITHIN


def _driest(result: FiringResult, wet: bool) -> float:
    """Least temperature of the wall at which nothing falls out of the gas, or nothing freezes."""
    return 0.0 if wet else result.dew_point


def _built_for_water(workings: Workings) -> bool:
    """Whether the chimney's designation allows condensate in running."""
    if not workings.chimney.designation:
        return False
    try:
        return parse_designation(workings.chimney.designation).condensate == "W"
    except ValueError:
        return False
