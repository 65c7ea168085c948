"""How far the measures of a plan may be off, as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.measures import measure_words, write_measure
from calcs.plan import Plan
from calcs.rulebook import load_rulebook
from calcs.sensitivity import REACH, turning_points
from calcs.wording import Wording


@dataclass(frozen=True)
class MarginRow:
    """One measure and one way: how far off it turns a verdict, and which."""

    measure: str
    off: str
    topic: str
    becomes: str


@dataclass(frozen=True)
class Margins:
    """Rows, how far was looked, and the edition of the rules they were reckoned by."""

    rows: list[MarginRow]
    reach: str
    edition: str


def margins_of(plan: Plan) -> Margins:
    """Return how far each measure of a plan may be off before a verdict turns, the tightest first."""
    say, book = Wording(plan.system), load_rulebook(plan.rulebook)
    points = turning_points(plan.survey, plan.appliance, plan.chimney, book, system=plan.system)
    rows = [
        MarginRow(
            measure_words(point.measure).removeprefix("the "),
            f"{write_measure(point.measure, abs(point.off), say)} {'more' if point.off > 0 else 'less'}",
            point.topic.replace(".", " ").replace("_", " "),
            str(point.becomes),
        )
        for point in points
    ]
    return Margins(rows, say.length(REACH), book.edition)
