"""What was answered the last time, for whoever stands before the same item now."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.checklists import Checklist, Item
from inspections.models import Answer, AnswerKind, AnswerOutcome, Photo, SiteRecord
from inspections.queries import wording
from inspections.queries.comparison import CONDITION_WORDS, part_said
from inspections.queries.visits_before import History, Visit, history_of
from jobs.models import Job


@dataclass(frozen=True)
class LastTime:
    """An earlier answer in words, and the day it was given."""

    words: str
    day: str
    #: pass | fail | unknown | recorded
    verdict: str
    photo: Photo | None = None


def last_times(job: Job, record: SiteRecord | None, checklist: Checklist) -> dict[str, LastTime]:
    """Return what was found the last time by item; nothing for items no visit before can tell of."""
    history = history_of(job, record)
    found = {}
    for _, item in checklist.items():
        told = _last_of(history, item)
        # That something was done a year ago tells nobody anything; that it was not does.
        if told and (item.kind != AnswerKind.CONFIRM or told.verdict != AnswerOutcome.PASS):
            found[item.key] = told
    return found


def _last_of(history: History, item: Item) -> LastTime | None:
    for visit in reversed(history.visits):
        if told := _told(visit, item):
            return told
    return None


def _told(visit: Visit, item: Item) -> LastTime | None:
    then, answer = _same_item(visit, item)
    if answer is not None and then is not None:
        system = visit.system
        words = "" if answer.photo else wording.answer_words(then, answer, system)
        return LastTime(words, visit.day, answer.outcome, answer.photo)
    if item.kind == AnswerKind.CHOOSE and item.part and any(one.fails for one in item.options):
        said = part_said(visit, item.part)
        if said.condition:
            words = f"{CONDITION_WORDS[said.condition]} ({said.words})" if said.words else said.word
            return LastTime(words, visit.day, said.verdict)
    return None


def _same_item(visit: Visit, item: Item) -> tuple[Item | None, Answer | None]:
    """The item of the same key and kind, or of a measure one that is held to the same limit."""
    if item.kind == AnswerKind.NOTE:
        return None, None
    for _, then in visit.checklist.items():
        answer = visit.answers.get(then.key)
        if answer is None or then.kind != item.kind:
            continue
        if then.key == item.key or (
            item.limit and (then.limit, then.as_found) == (item.limit, item.as_found)
        ):
            return then, answer
    return None, None
