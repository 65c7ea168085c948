"""A plan kept long ago, computed once more from what went into it, and whatever comes out otherwise."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from calcs.checks import EQUAL_WITHIN, Limit
from calcs.plan import SCHEMA, Plan, make_plan
from calcs.plan_file import read_plan_inputs
from calcs.rulebook import FOLDER

#: What of a plan as `Plan.to_dict` gives it went into it, or is compared by itself.
INPUTS = ("survey", "appliance", "chimney")
_TOLD_APART = frozenset({*INPUTS, "schema", "rulebook", "edition", "rulebook_digest", "system", "limits"})


@dataclass(frozen=True)
class KeptPlan:
    """What is kept of a plan: what went in, by which rule book, and what came out. Plain JSON types."""

    rulebook: str
    edition: str
    schema: int
    #: survey, appliance and chimney.
    inputs: Mapping[str, Any]
    limits: Mapping[str, Any]
    #: SHA-256 of the rule book's file; "" where it was not kept.
    digest: str = ""
    system: str | None = None
    #: Whatever else came out; empty where only the limits were kept.
    results: Mapping[str, Any] = field(default_factory=dict)

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> KeptPlan:
        """Return what `Plan.to_dict` gave, of whatever age; a part that is missing is a ValueError."""
        try:
            return cls(
                rulebook=data["rulebook"],
                edition=data["edition"],
                schema=data["schema"],
                inputs={name: data[name] for name in INPUTS},
                limits=data["limits"],
                digest=data.get("rulebook_digest", ""),
                system=data["system"],
                results={name: value for name, value in data.items() if name not in _TOLD_APART},
            )
        except KeyError as error:
            raise ValueError(f"The plan as it is kept has no {error.args[0]}.") from error


@dataclass(frozen=True)
class Unlike:
    """One place where two copies of the same do not agree; None where one has nothing there."""

    name: str
    first: Any
    second: Any


@dataclass(frozen=True)
class LimitPair:
    """A limit as it is kept and as it comes out now; None where there is none."""

    name: str
    stored: Limit | None
    computed: Limit | None
    same: bool


@dataclass(frozen=True)
class Recomputed:
    """A plan computed once more, and what came out otherwise than it is kept."""

    plan: Plan
    kept: KeptPlan
    pairs: tuple[LimitPair, ...]
    #: Sentences; none when everything is the same.
    differences: tuple[str, ...]

    @property
    def same(self) -> bool:
        """Whether everything came out as it is kept."""
        return not self.differences


def recompute(kept: KeptPlan, folder: Path = FOLDER) -> Recomputed:
    """Compute a kept plan once more by the rule book of its edition, and compare limit by limit.

    Parameters
    ----------
    kept : KeptPlan
        The plan as it is kept [-]
    folder : Path
        Where the rule books are [-]

    Returns
    -------
    Recomputed
        Every limit as kept and as computed, and a sentence for each difference [-]

    Raises
    ------
    ValueError
        The rule book of its edition is not here, or the inputs are such as no plan is made of.

    Examples
    --------
    >>> from calcs.survey import Appliance, Chimney, Survey
    >>> data = make_plan(Survey(rear_wall=1.0), Appliance(listed=False), Chimney(), "us").to_dict()
    >>> recompute(KeptPlan.of(data)).same
    True
    >>> data["limits"]["appliance.clearance.rear"]["minimum"] = 0.3
    >>> print(recompute(KeptPlan.of(data)).differences[0])
    appliance.clearance.rear: stored at least 0.3 m, computed at least 0.9144 m.
    """
    if kept.schema != SCHEMA:
        raise ValueError(f"This program reads plans of schema {SCHEMA}, and this one is of {kept.schema}.")
    told = {"rulebook": kept.rulebook, "edition": kept.edition, "system": kept.system, **kept.inputs}
    inputs = read_plan_inputs(json.dumps(told), folder)
    plan = make_plan(inputs.survey, inputs.appliance, inputs.chimney, inputs.rulebook, system=inputs.system)
    computed = plan.to_dict()
    pairs = tuple(_pairs(kept.limits, computed["limits"]))
    results = {name: computed.get(name) for name in kept.results}
    differences = (
        *_book_differs(kept, plan),
        *(_sentence(pair, kept.limits) for pair in pairs if not pair.same),
        *(
            f"{one.name}: stored {_plain(one.first)}, computed {_plain(one.second)}."
            for one in unlike(kept.results, results)
        ),
    )
    return Recomputed(plan=plan, kept=kept, pairs=pairs, differences=differences)


def unlike(first: Any, second: Any, name: str = "") -> Iterator[Unlike]:
    """Every place where the second of two copies does not hold what the first does.

    Parameters
    ----------
    first : Any
        Plain JSON types; a key it lacks is not asked of the second, as an older copy has fewer [-]
    second : Any
        The other copy [-]
    name : str
        What both are called [-]

    Returns
    -------
    Iterator[Unlike]
        Places and what either holds there [-]

    Examples
    --------
    >>> [one.name for one in unlike({"a": [1, 2.0]}, {"a": [1, 2.5], "b": 7})]
    ['a[1]']
    """
    if isinstance(first, dict) and isinstance(second, dict):
        for key, value in first.items():
            yield from unlike(value, second.get(key), f"{name}.{key}" if name else key)
    elif isinstance(first, list) and isinstance(second, list) and len(first) == len(second):
        for place, (one, other) in enumerate(zip(first, second, strict=True)):
            yield from unlike(one, other, f"{name}[{place}]")
    elif not _equal(first, second):
        yield Unlike(name, first, second)


def limit_text(limit: Limit | None) -> str:
    """A limit with every digit it has, in SI.

    Parameters
    ----------
    limit : Limit or None
        The limit; None where there is none [-]

    Returns
    -------
    str
        The words [-]

    Examples
    --------
    >>> from calcs.checks import Source, SourceKind
    >>> limit_text(Limit(0.0254, None, "m", Source(SourceKind.CODE, "R1003.9"))), limit_text(None)
    ('at least 0.0254 m', 'none')
    """
    if limit is None:
        return "none"
    unit = "" if limit.unit == "1" else f" {limit.unit}"
    bounds = (("at least", limit.minimum), ("at most", limit.maximum))
    return " and ".join(f"{word} {value}{unit}" for word, value in bounds if value is not None) or "no bound"


def _pairs(stored: Mapping[str, Any], computed: Mapping[str, Any]) -> Iterator[LimitPair]:
    for name in dict.fromkeys((*computed, *stored)):
        one, other = stored.get(name), computed.get(name)
        same = one is not None and other is not None and not any(unlike(one, other))
        yield LimitPair(name, _limit(name, one), _limit(name, other), same)


def _limit(name: str, data: Any) -> Limit | None:
    try:
        return None if data is None else Limit.from_dict(data)
    except (KeyError, TypeError, ValueError) as error:
        raise ValueError(f"{name}: what is kept is no limit ({error}).") from error


def _book_differs(kept: KeptPlan, plan: Plan) -> Iterator[str]:
    if kept.digest and kept.digest != plan.rulebook_digest:
        yield (
            f"The rule book {kept.rulebook} of edition {kept.edition} is not the file the plan was made with:"
            f" SHA-256 stored {kept.digest}, here {plan.rulebook_digest}."
        )


def _sentence(pair: LimitPair, stored: Mapping[str, Any]) -> str:
    said, found = limit_text(pair.stored), limit_text(pair.computed)
    if said == found and pair.stored and pair.computed:
        places = unlike(stored[pair.name], pair.computed.to_dict())
        told = [f"{one.name}: stored {_plain(one.first)}, computed {_plain(one.second)}" for one in places]
        return f"{pair.name}: {'; '.join(told)}."
    return f"{pair.name}: stored {said}, computed {found}."


def _equal(first: Any, second: Any) -> bool:
    figures = [isinstance(one, int | float) and not isinstance(one, bool) for one in (first, second)]
    if all(figures):
        # Another machine may differ in the last digit of a sine; a billionth only absorbs that.
        try:
            return math.isclose(first, second, rel_tol=EQUAL_WITHIN, abs_tol=EQUAL_WITHIN)
        except OverflowError:
            return bool(first == second)
    return type(first) is type(second) and bool(first == second)


def _plain(value: Any) -> str:
    text = "none" if value is None else str(value)
    return text if len(text) <= 120 else f"{text[:117]}..."
