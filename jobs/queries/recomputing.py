"""A stored plan computed once more, and held against the survey it was made from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from calcs.recompute import KeptPlan, LimitPair, Recomputed, recompute, unlike
from calcs.records import to_plain
from calcs.rulebook import FOLDER
from jobs.errors import JobsError
from jobs.figures import NOT_KNOWN, limit_words
from jobs.limit_names import limit_name
from jobs.models import Plan

#: Of a survey's figures these two are the installation's and the site's, which may be corrected later.
_NOT_THE_SURVEYS = frozenset({"route", "altitude"})


@dataclass(frozen=True)
class Recomputation:
    """A plan computed once more, and copies of the same on file that do not agree."""

    title: str
    found: Recomputed
    copies: tuple[str, ...] = ()

    @property
    def differences(self) -> tuple[str, ...]:
        """Everything that is not as it should be, in sentences."""
        return (*self.found.differences, *self.copies)


@dataclass(frozen=True)
class PairRow:
    """A limit as a page shows it, as stored and as computed."""

    name: str
    stored: str
    computed: str
    same: bool


def plan_recompute(plan: Plan, *, folder: Path = FOLDER) -> Recomputation:
    """Compute a stored plan once more by the rule book of its edition."""
    try:
        kept = KeptPlan.of(plan.data)
    except ValueError as error:
        raise JobsError("cannot_be_recomputed", str(error)) from error
    found = kept_recompute(kept, folder=folder)
    title = f"Plan {plan.revision} of {plan.installation}"
    return Recomputation(title, found, tuple(_copies(plan)))


def kept_recompute(kept: KeptPlan, *, folder: Path = FOLDER) -> Recomputed:
    """Compute a plan once more; what stands in the way is told in a sentence."""
    try:
        return recompute(kept, folder)
    except (ValueError, OverflowError) as error:
        raise JobsError("cannot_be_recomputed", f"It cannot be computed anew: {error}") from error


def with_copies(recomputation: Recomputation, title: str, copies: Iterator[str]) -> Recomputation:
    """Return a recomputation under another title with further copies compared."""
    return replace(recomputation, title=title, copies=(*recomputation.copies, *copies))


def copies_unlike(first: Any, second: Any, *, name: str, where: tuple[str, str]) -> Iterator[str]:
    """Yield a sentence for each place where two copies do not agree, whichever of them holds more."""
    places = {one.name: (one.first, one.second) for one in unlike(second, first, name)}
    there = {one.name: (one.second, one.first) for one in unlike(first, second, name)}
    for place, (in_second, in_first) in {**places, **there}.items():
        yield f"{place}: {where[0]} {in_first}, {where[1]} {in_second}."


def pair_rows(found: Recomputed, system: str) -> list[PairRow]:
    """Return every limit in the units of a site."""
    return [_row(pair, system) for pair in found.pairs]


def _row(pair: LimitPair, system: str) -> PairRow:
    def words(limit: Any) -> str:
        return limit_words(limit, pair.name, system) if limit else NOT_KNOWN

    return PairRow(limit_name(pair.name), words(pair.stored), words(pair.computed), pair.same)


def _copies(plan: Plan) -> Iterator[str]:
    data = plan.data
    kept = {name: value for name, value in data["survey"].items() if name not in _NOT_THE_SURVEYS}
    where = ("in the plan", "in the survey it was made from")
    for one in unlike(kept, to_plain(plan.survey.to_calcs()), "survey"):
        yield f"{one.name}: {where[0]} {one.first}, {where[1]} {one.second}."
    rows = {"rulebook": plan.rule_book, "edition": plan.rule_book_edition, "schema": plan.schema}
    yield from copies_unlike(
        {name: data[name] for name in rows}, rows, name="", where=("in the plan", "in its row")
    )
