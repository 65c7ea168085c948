"""Which items of a checklist apply to a job, given what was answered so far."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspections.checklists import Checklist, Item
from inspections.models import Answer


def items_applicable(
    checklist: Checklist, facts: Mapping[str, Any], latest: Mapping[str, Answer]
) -> frozenset[str]:
    """Return the keys of the items that apply; `latest` holds the latest answer of each item."""
    found: set[str] = set()
    for _, item in checklist.items():
        if facts_ask(item, facts) and _condition_holds(item, found, latest):
            found.add(item.key)
    return frozenset(found)


def facts_ask(item: Item, facts: Mapping[str, Any]) -> bool:
    """Whether the facts of a job ask for an item; a fact not known asks for it."""
    return all(not facts.get(fact) or facts[fact] in allowed for fact, allowed in item.only.items())


def _condition_holds(item: Item, found: set[str], latest: Mapping[str, Answer]) -> bool:
    condition = item.when
    if condition is None:
        return True
    answer = latest.get(condition.item)
    if answer is None or condition.item not in found:
        return False
    if condition.chosen:
        return answer.raw_text in condition.chosen
    return answer.outcome == condition.outcome
