"""A visit beside those before it: each part's condition then and now, each measured value over the years."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calcs.checks import Limit
from calcs.drawing.trend import TrendLimit, TrendPoint, trend_svg
from inspections.checklists import Item
from inspections.checklists.part_names import PARTS
from inspections.checklists.shape import WORN
from inspections.models import Answer, AnswerKind, AnswerOutcome, Photo, SiteRecord
from inspections.queries import wording
from inspections.queries.visits_before import History, Visit, history_of, visit_of
from jobs.figures import limit_words, measured_words
from jobs.limit_names import limit_name

#: Condition -> how far from sound; what is not here is not known.
GRADES = {"sound": 0, "worn": 1, "bad": 2}
CONDITION_WORDS = {
    "sound": "Sound",
    "worn": "Worn, serves",
    "bad": "Defective",
    "unknown": "Not known",
    "": "Not looked at",
}
CHANGE_WORDS = {
    "better": "Better",
    "worse": "Worse",
    "same": "Same",
    "first": "First time seen",
    "unseen": "Not seen this time",
}
#: The same value under two names: a new installation measures the draft it commissions.
_SAME_VALUE = {"draft.measured": "service.draft"}
#: Beyond this two margins are apart; a tape or a gauge does not tell less.
_APART = 1e-6


@dataclass(frozen=True)
class PartSaid:
    """What one visit says of a part."""

    #: sound | worn | bad | unknown | "" where nothing was said
    condition: str
    words: str
    photo: Photo | None
    visit: Visit

    @property
    def word(self) -> str:
        """The condition in a word."""
        return CONDITION_WORDS[self.condition]

    @property
    def verdict(self) -> str:
        """The condition as the signs of pages and papers tell it."""
        signs = {"sound": "pass", "worn": "recorded", "bad": "fail"}
        return signs.get(self.condition, "unknown" if self.condition else "recorded")


@dataclass(frozen=True)
class PartCompared:
    """A part then and now."""

    key: str
    name: str
    then: PartSaid | None
    now: PartSaid
    #: better | worse | same | first | unseen
    change: str

    @property
    def word(self) -> str:
        """The change in words."""
        return CHANGE_WORDS[self.change]


@dataclass(frozen=True)
class Reading:
    """A measured value of one visit: the one nearest to its limit, where several were taken."""

    visit: Visit
    answer: Answer
    #: In SI.
    value: float
    words: str
    limit_text: str


@dataclass(frozen=True)
class Trend:
    """One measured value over the visits, oldest first."""

    key: str
    name: str
    readings: tuple[Reading, ...]
    limit_text: str
    #: better | worse | same | first | unseen
    change: str
    svg: str

    @property
    def moved(self) -> bool:
        """Whether the value was ever another one."""
        return len({one.words for one in self.readings}) > 1

    @property
    def word(self) -> str:
        """The change since the visit before, in words."""
        return CHANGE_WORDS[self.change]


@dataclass(frozen=True)
class Comparison:
    """Everything there is to compare."""

    now: Visit
    history: History
    parts: tuple[PartCompared, ...]
    trends: tuple[Trend, ...]

    @property
    def last(self) -> Visit | None:
        """The visit before."""
        return self.history.last

    @property
    def tally(self) -> dict[str, int]:
        """How many parts are worse, better and the same."""
        return {
            word: sum(1 for one in self.parts if one.change == word) for word in ("worse", "better", "same")
        }


def comparison_of(record: SiteRecord) -> Comparison:
    """Return a record beside the signed-off visits before it; empty ones where there are none."""
    history = history_of(record.job, record)
    now = visit_of(record)
    return Comparison(now, history, tuple(_parts(history, now)), tuple(_trends(history, now)))


def part_said(visit: Visit, part: str) -> PartSaid:
    """Return what a visit says of a part: the worst of what judges it, and a photo of it."""
    found: dict[str, list[str]] = {}
    photo = None
    for item, answer in _answered(visit):
        if item.part != part:
            continue
        if answer.photo is not None:
            photo = photo or answer.photo
            continue
        condition = _condition(item, answer)
        if condition:
            found.setdefault(condition, []).extend(_said(item, answer, visit))
    for condition in ("bad", "unknown", "worn", "sound"):
        if condition in found:
            said = [words for words in found[condition] if words != CONDITION_WORDS[condition]]
            return PartSaid(condition, ". ".join(said[:2]), photo, visit)
    return PartSaid("", _silence(visit, part), photo, visit)


def _answered(visit: Visit) -> Iterator[tuple[Item, Answer]]:
    for _, item in visit.checklist.items():
        answer = visit.answers.get(item.key)
        if answer is not None:
            yield item, answer


def _condition(item: Item, answer: Answer) -> str:
    """What an answer says of its part; what was put right on the visit is not the part's condition."""
    if item.as_found or item.kind in {AnswerKind.NOTE, AnswerKind.PHOTO}:
        return ""
    if answer.outcome == AnswerOutcome.PASS:
        return "worn" if answer.raw_text == WORN else "sound"
    return {AnswerOutcome.FAIL: "bad", AnswerOutcome.UNKNOWN: "unknown"}.get(
        AnswerOutcome(answer.outcome), ""
    )


def _said(item: Item, answer: Answer, visit: Visit) -> list[str]:
    """A choice tells its words; a figure or a yes is told only where it is the trouble."""
    words = wording.answer_words(item, answer, visit.system)
    if item.kind == AnswerKind.CHOOSE and answer.outcome != AnswerOutcome.UNKNOWN:
        return [words]
    return [] if answer.outcome == AnswerOutcome.PASS else [f"{item.ask}: {words.lower()}"]


def _silence(visit: Visit, part: str) -> str:
    """Why a part was not judged, where somebody said so."""
    for item, answer in _answered(visit):
        option = item.option(answer.raw_text) if item.part == part else None
        if option is not None and option.silent:
            return option.words
    return ""


def _parts(history: History, now: Visit) -> Iterator[PartCompared]:
    for key, name in PARTS.items():
        current = part_said(now, key)
        then = _last_said(history, key)
        if current.condition or then is not None or current.words or current.photo:
            yield PartCompared(key, name, then, current, _change(then, current))


def _last_said(history: History, part: str) -> PartSaid | None:
    """The latest visit that looked at a part; one that could not reach it says nothing of it."""
    for visit in reversed(history.visits):
        said = part_said(visit, part)
        if said.condition:
            return said
    return None


def _change(then: PartSaid | None, now: PartSaid) -> str:
    if now.condition not in GRADES:
        return "unseen"
    if then is None or then.condition not in GRADES:
        return "first"
    return _direction(GRADES[then.condition] - GRADES[now.condition])


def _direction(gained: float) -> str:
    if abs(gained) <= _APART:
        return "same"
    return "better" if gained > 0 else "worse"


def _trends(history: History, now: Visit) -> Iterator[Trend]:
    visits = (*history.visits, now)
    series: dict[tuple[str, bool], list[Reading]] = {}
    for visit in visits:
        for key, reading in _readings(visit).items():
            series.setdefault(key, []).append(reading)
    for (limit, as_found), readings in series.items():
        yield _trend(limit, as_found, readings, now)


def _readings(visit: Visit) -> dict[tuple[str, bool], Reading]:
    found: dict[tuple[str, bool], Reading] = {}
    system = visit.system
    for item, answer in _answered(visit):
        if not item.limit or answer.value is None:
            continue
        key = (_SAME_VALUE.get(item.limit, item.limit), item.as_found)
        held = found.get(key)
        if held is None or _nearer(answer, held.answer):
            limit = Limit.from_dict(answer.limit) if answer.limit else None
            words = measured_words(answer.value, limit, item.quantity, system)
            text = limit_words(limit, item.limit, system) if limit else wording.NO_LIMIT
            found[key] = Reading(visit, answer, answer.value, words, text)
    return found


def _nearer(one: Answer, other: Answer) -> bool:
    """Whether an answer is nearer to its limit, or farther beyond it."""
    if one.margin is None or other.margin is None:
        return False
    return one.margin < other.margin


def _trend(limit: str, as_found: bool, readings: list[Reading], now: Visit) -> Trend:
    latest = readings[-1]
    name = f"{limit_name(limit)}, as found" if as_found else limit_name(limit)
    key = f"{limit.replace('.', '-').replace('_', '-')}{'-found' if as_found else ''}"
    return Trend(
        key=key,
        name=name,
        readings=tuple(readings),
        limit_text=latest.limit_text,
        change=_trend_change(readings, now),
        svg=trend_svg(name, [_point(one) for one in readings], _trend_limit(latest), prefix=f"trend-{key}"),
    )


def _trend_change(readings: list[Reading], now: Visit) -> str:
    if readings[-1].visit is not now:
        return "unseen"
    if len(readings) == 1:
        return "first"
    then, latest = readings[-2], readings[-1]
    if then.words == latest.words or then.answer.margin is None or latest.answer.margin is None:
        return "same" if then.words == latest.words else "first"
    return _direction(latest.answer.margin - then.answer.margin)


def _point(reading: Reading) -> TrendPoint:
    return TrendPoint(
        on=reading.visit.on,
        value=reading.value,
        words=reading.words,
        day=reading.visit.day,
        verdict=reading.answer.outcome,
    )


def _trend_limit(reading: Reading) -> TrendLimit | None:
    if not reading.answer.limit:
        return None
    limit = Limit.from_dict(reading.answer.limit)
    return TrendLimit(limit.minimum, limit.maximum, reading.limit_text)
