"""How often the flue is swept and looked at once it is in use."""

from __future__ import annotations

from calcs.checks import Outcome
from calcs.findings.finding import Finding
from calcs.rulebook import RuleBook
from calcs.servicing import why_no_interval
from calcs.survey import Appliance
from calcs.wording import Wording
from calcs.workings import Workings

_OFTEN = {12: "once a year", 6: "twice a year"}


def service(workings: Workings, say: Wording) -> Finding | None:
    """Say how often the flue is swept and inspected, and at which deposit before that.

    Parameters
    ----------
    workings : Workings
        The working of the plan
    say : Wording
        Units to write in

    Returns
    -------
    Finding or None
        The finding; None while no appliance is chosen
    """
    if workings.appliance == Appliance():
        return None
    book, fuel = workings.rulebook, workings.appliance.fuel
    sweep = _often(book, f"sweep.interval.{fuel}")
    told = [f"Sweep the flue {sweep}."] if sweep else [why_no_interval("sweep", book, fuel=fuel)]
    deposit = book.find("sweep.deposit")
    if deposit is not None and deposit.value is not None:
        told.append(
            f"Sweep it before that at {say.most(deposit.value)} of deposit or any glaze "
            f"({deposit.source.reference})."
        )
    inspection = _often(book, f"inspection.interval.{fuel}")
    if inspection:
        told.append(f"Have it inspected {inspection}.")
    return Finding("service", Outcome.PASS, " ".join(told))


def _often(book: RuleBook, key: str) -> str:
    """Interval in words with its source, "" where the book holds none."""
    rule = book.find(key)
    if rule is None or rule.value is None:
        return ""
    often = _OFTEN.get(round(rule.value), f"every {rule.value:g} months of use")
    return f"{often} ({rule.source.reference})"
