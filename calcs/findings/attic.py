"""What keeps the insulation off the chimney."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings


def shield(workings: Workings, say: Wording) -> Finding:
    """Say whether the insulation shield stands uncut under the roof."""
    topic = "attic shield"
    if workings.attic_refusal:
        return Finding(
            topic,
            Outcome.FAIL,
            workings.attic_refusal,
        )
    fit, tall = workings.shield, workings.chimney.shield_height
    if fit is None or tall is None:
        return Finding(topic, Outcome.UNKNOWN, "Whether the attic shield fits is not known.")
    low = say.most(fit.height_low)
    if fit.fits:
        return Finding(
            topic,
            Outcome.PASS,
            f"The {say.least(tall)} shield fits: the roof leaves {low} on the low side.",
            fit.height_low - tall,
        )
    return Finding(
        topic,
        Outcome.FAIL,
        f"The {say.least(tall)} shield does not fit: the roof leaves {low} on the low side. "
        "Frame a full-height enclosure; never cut the shield down.",
        -fit.shortfall,
        "enclosure" if workings.enclosure else "",
    )


def enclosure(workings: Workings, say: Wording) -> Finding | None:
    """Describe the full-height enclosure that stands in for the shield."""
    fit = workings.shield
    if not workings.enclosure or workings.opening is None or fit is None:
        return None
    return Finding(
        "enclosure",
        Outcome.PASS,
        f"The enclosure is {say.least(workings.opening)} square inside, {say.most(fit.height_low)} high on "
        f"the low side and {say.most(fit.height_high)} on the high side. Its panels stand outside the "
        "chimney's clearance and may be wood.",
        min(panel.height_left for panel in workings.enclosure),
    )


def insulation(workings: Workings, say: Wording) -> Finding | None:
    """Say how far the shield stands above the insulation."""
    fit, least = workings.shield, _least_above_insulation(workings)
    if fit is None or not fit.fits or least is None:
        return None
    stands = _above_insulation(workings)
    if stands is None:
        workings.missing.add("survey.insulation_depth", "see whether the shield stands above the insulation")
        return Finding(
            "insulation", Outcome.UNKNOWN, "How far the shield stands above the insulation is not known."
        )
    passed = stands >= least - EQUAL_WITHIN
    where = "above" if stands >= 0 else "below the top of"
    rest = "" if passed else " Take a taller shield, or hold the insulation back around it."
    return Finding(
        "insulation",
        Outcome.PASS if passed else Outcome.FAIL,
        f"The shield ends {say.most(abs(stands))} {where} the insulation; at least {say.least(least)} "
        f"above it is asked for.{rest}",
        stands - least,
    )


def _least_above_insulation(workings: Workings) -> float | None:
    listed = workings.chimney.shield_above_insulation
    return listed if listed is not None else workings.rulebook.value("shield.above_insulation")


def _above_insulation(workings: Workings) -> float | None:
    """From the insulation's top to the shield's, which stands on the ceiling framing [m]."""
    levels, tall = workings.levels, workings.chimney.shield_height
    if levels.framing_top is None or levels.insulation_top is None or tall is None:
        return None
    return levels.framing_top + tall - levels.insulation_top
