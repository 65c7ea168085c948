"""Whether the flue is wide enough and draws."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings


def flue_size(workings: Workings, say: Wording) -> Finding | None:
    """Compare the flue with the collar."""
    collar, inner = workings.appliance.collar_diameter, workings.chimney.inner_diameter
    if collar is None or inner is None:
        return None
    room = inner - collar
    if room >= -EQUAL_WITHIN:
        return Finding(
            "flue size",
            Outcome.PASS,
            f"The {say.length(inner)} flue is no smaller than the {say.length(collar)} collar.",
            room,
        )
    return Finding(
        "flue size",
        Outcome.FAIL,
        f"The {say.length(inner)} flue is smaller than the {say.length(collar)} collar: "
        "load a larger chimney.",
        room,
    )


def draft(workings: Workings, say: Wording) -> Finding:
    """Hold the theoretical draft against what the appliance needs."""
    draft, least = workings.theoretical_draft, workings.appliance.least_draft
    if draft is None or workings.appliance.flue_gas_temperature is None:
        return Finding("draft", Outcome.UNKNOWN, "The theoretical draft cannot be found yet.")
    base = (
        f"Theoretical draft {say.draft(draft)} with flue gas at "
        f"{say.temperature(workings.appliance.flue_gas_temperature)} and "
        f"{say.temperature(workings.survey.outside_temperature or 0.0)} outside, before cooling and friction"
    )
    if least is None:
        return Finding("draft", Outcome.UNKNOWN, f"{base}; what the appliance needs is not known.")
    outcome = Outcome.PASS if draft >= least - EQUAL_WITHIN else Outcome.FAIL
    rest = "" if outcome is Outcome.PASS else " Make the chimney taller."
    return Finding("draft", outcome, f"{base}; the appliance needs {say.draft(least)}.{rest}", draft - least)
