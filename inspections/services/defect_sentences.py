"""What a defect is called, so that everybody reads the same in one sentence."""

from __future__ import annotations

from calcs.checks import Limit
from inspections.checklists import Item
from inspections.models import Answer, AnswerOutcome
from inspections.queries import wording


def defect_sentence(item: Item, answer: Answer, system: str) -> str:
    """Say what is wrong with an answer that failed or stayed unknown."""
    said = wording.answer_words(item, answer, system)
    if item.kind != "measure":
        return f"{item.ask}: {said}."
    limit = Limit.from_dict(answer.limit) if answer.limit else None
    allowed = wording.item_limit_words(item, limit, system)
    source = wording.item_source_words(limit)
    if answer.value is None:
        return f"{item.ask}: could not be measured" + (f"; {allowed} is required." if limit else ".")
    if limit is None or answer.outcome == AnswerOutcome.UNKNOWN:
        return (
            f"{item.ask}: measured {said}, but no limit is known, so it cannot be judged. The plan lacks a"
            " figure: the office finds it in the listing, or the inspector decides."
        )
    margin = wording.margin_words(item, answer, system)
    return f"{item.ask}: measured {said}, {allowed} is required; {margin}. Source: {source}."
