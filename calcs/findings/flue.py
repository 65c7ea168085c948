"""Whether the flue is wide and high enough."""

from __future__ import annotations

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings.finding import Finding
from calcs.wording import Wording
from calcs.workings import Workings


def flue_height(workings: Workings, say: Wording) -> Finding | None:
    """Hold the flue's height against the least the rule book asks for, where it asks for one."""
    least, height = workings.rulebook.find("chimney.least_height"), workings.height_total
    if least is None or least.value is None or height is None:
        return None
    outcome = Outcome.PASS if height >= least.value - EQUAL_WITHIN else Outcome.FAIL
    rest = "" if outcome is Outcome.PASS else " Make the chimney taller."
    return Finding(
        "flue height",
        outcome,
        f"From collar to outlet {say.height(height, 'down')}; at least {say.height(least.value, 'up')} is "
        f"asked for ({least.source.reference}).{rest}",
        height - least.value,
    )
