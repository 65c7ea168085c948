"""Defects in words: the rule one breaks, and what it was closed by."""

from __future__ import annotations

from typing import Any

from calcs.checks import Limit, Source
from inspections.models import Defect
from inspections.queries.corrections import waiver_of
from jobs.figures import source_words


def rule_words(rule: dict[str, Any] | None) -> str:
    """Return the rule a defect breaks with where it comes from; what a person wrote stands as written."""
    if not rule:
        return ""
    if not rule["kind"]:
        return str(rule["reference"])
    source = source_words(Limit(None, None, "", Source.from_dict(rule)))
    says = rule.get("says", "")
    return f"{says.rstrip('.')}. {source}" if says else source


def closed_words(defect: Defect) -> str:
    """Return by what a defect was closed; empty while it is open."""
    if defect.closed_at is None:
        return ""
    answer = defect.closed_by_answer
    if answer is not None:
        return f"put right and entered again by {answer.by.name}{_said(defect)}"
    waiver = waiver_of(defect) or next(
        (one for one in map(waiver_of, defect.carried_copies.all()) if one), None
    )
    if waiver is not None:
        return f"accepted by {waiver.by.name} on the authority of {waiver.authority}: {waiver.reason}"
    return "closed"


def _said(defect: Defect) -> str:
    answer = defect.closed_by_answer
    if answer is None or answer.stage_id == defect.stage_id:
        return f", “{answer.raw_text}”" if answer and answer.raw_text else ""
    return f" on {answer.stage.record.job.number}"
