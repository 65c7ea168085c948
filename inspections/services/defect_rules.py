"""The rule a defect breaks, with where it comes from, as a defect keeps it."""

from __future__ import annotations

from typing import Any

from calcs.rulebook import codes, load_rulebook
from inspections.checklists import Item
from inspections.models import Answer

LONGEST_RULE = 300


def rule_of(item: Item, answer: Answer, rule_book: str) -> dict[str, Any] | None:
    """Return the rule an answer breaks: the source of its limit, or the one the checklist names."""
    if answer.limit:
        return dict(answer.limit["source"])
    if not item.rule or rule_book not in codes():
        return None
    rule = load_rulebook(rule_book).find(item.rule)
    return {**rule.source.to_dict(), "says": rule.as_printed} if rule else None


def rule_as_told(words: str) -> dict[str, Any] | None:
    """Return what somebody wrote of a rule; nobody has looked it up, so it has no kind and no provenance."""
    words = words.strip()[:LONGEST_RULE]
    return {"kind": "", "reference": words, "edition": "", "provenance": "", "rule": ""} if words else None
