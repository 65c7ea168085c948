"""Which measure would turn a verdict if it were off, and by how much."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from types import MappingProxyType
from typing import Any

from calcs.checks import EQUAL_WITHIN, Outcome
from calcs.findings import Finding
from calcs.lengths import INCH
from calcs.measures import MEASURES, measure_words, write_measure
from calcs.reckoning import Reckoning, reckon
from calcs.rulebook import RuleBook
from calcs.survey import Appliance, Chimney, Survey
from calcs.wording import Wording, system_of

#: Topic of a doubt about what is loaded, not about a verdict.
LOAD = "load list"
#: Checks whose verdict a finding tells.
_TOLD: Mapping[str, str] = MappingProxyType(
    {
        "appliance.clearance": "clearances",
        "support.plumb_offset": "position",
        "framing.bay_clear": "position",
        "connector": "connector",
        "hearth": "hearth",
        "flue.size": "flue size",
        "air": "air",
        "fuel": "fuel",
    }
)
#: How far a turning point is looked for, in the field's unit: this many of its finest steps.
_STEPS = (1, 4, 16, 64)
#: That is of a length [m].
REACH = _STEPS[-1] * INCH / 16
_HALVINGS = 8


@dataclass(frozen=True)
class Doubt:
    """A verdict that turns within the tolerance of one measure.

    `measure` is a field of the survey, `off` what it would be off, signed, in the field's unit; it may be
    off both ways, and then `either_way` is set and `off` is the one that makes it larger. `topic` is the
    topic of a finding, the name of a check or `LOAD`.
    """

    measure: str
    off: float
    either_way: bool
    topic: str
    becomes: Outcome
    sentence: str


@dataclass(frozen=True)
class TurningPoint:
    """The least error of one measure, one way, that turns a verdict."""

    measure: str
    off: float
    topic: str
    becomes: Outcome
    sentence: str


def doubts_of(reckoned: Reckoning, say: Wording) -> tuple[Doubt, ...]:
    """Verdicts and loads that turn when one measure is off by its tolerance.

    Parameters
    ----------
    reckoned : Reckoning
        The reckoning with the measures as they are
    say : Wording
        Units to write in

    Returns
    -------
    tuple of Doubt
        One for each measure and topic, in the order of the findings

    Notes
    -----
    The survey is reckoned again with each measure that carries a tolerance as much larger and as much
    smaller, one at a time: measures that are off together may turn more.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> inch = 0.0254
    >>> survey = Survey(
    ...     wall_to_flue_centre=39 * inch,
    ...     wall_to_first_member=22.25 * inch,
    ...     member_spacing=24 * inch,
    ...     member_thickness=1.5 * inch,
    ...     tolerances={"wall_to_flue_centre": 0.5 * inch},
    ... )
    >>> chimney = Chimney(inner_diameter=6 * inch, outer_diameter=10 * inch, clearance=2 * inch)
    >>> reckoned = reckon(survey, Appliance(), chimney, load_rulebook("us"), Wording())
    >>> print(doubts_of(reckoned, Wording())[0].sentence)
    Position: 1/4 in to spare. It would fail if the distance from the wall to the flue centre were 1/2 in
    more than measured: measure it again.
    """
    found: dict[tuple[str, str, object], Doubt] = {}
    for measure, tolerance in reckoned.workings.survey.tolerances.items():
        for off in (tolerance, -tolerance):
            other = _with(reckoned, measure, off, say)
            if other is None:
                continue
            for topic, becomes in _turned(reckoned, other):
                # Another stack is one stack one way and another the other way.
                key = (topic, measure, off if topic == LOAD else becomes)
                both = key in found
                told = _Told(reckoned, other, measure, abs(off) if both else off, both, say)
                found[key] = Doubt(measure, told.off, both, topic, becomes, told.sentence(topic, becomes))
    order = [finding.topic for finding in reckoned.findings]
    return tuple(
        sorted(found.values(), key=lambda one: order.index(one.topic) if one.topic in order else len(order))
    )


def turning_points(
    survey: Survey,
    appliance: Appliance,
    chimney: Chimney,
    rulebook: RuleBook,
    *,
    system: str | None = None,
    most: int | None = None,
) -> tuple[TurningPoint, ...]:
    """How far each measure may be off before a verdict turns, the tightest first.

    Parameters
    ----------
    survey : Survey
        What was measured
    appliance : Appliance
        Listing data of the appliance
    chimney : Chimney
        Listing data of the chimney
    rulebook : RuleBook
        Rules of the site's country
    system : str, optional
        imperial | metric, the units of the sentences; None takes those of the rule book's trade
    most : int, optional
        How many to return; None for all [-]

    Returns
    -------
    tuple of TurningPoint
        One for each measure and way in which a verdict turns within 64 of its finest steps, which is 4 in
        of a length; by how many of those steps they lie off

    Raises
    ------
    ValueError
        If an input cannot be, as in `make_plan`.

    Notes
    -----
    Each measure is taken 1, 4, 16 and 64 steps off until a verdict turns, and the turn is then closed in on
    by halves. A verdict that turns and turns back between two of those is not seen. Reckons a survey some
    hundred times: for a page that was asked for, not for every plan.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> inch = 0.0254
    >>> survey = Survey(
    ...     wall_to_flue_centre=39 * inch,
    ...     wall_to_first_member=22.25 * inch,
    ...     member_spacing=24 * inch,
    ...     member_thickness=1.5 * inch,
    ... )
    >>> chimney = Chimney(inner_diameter=6 * inch, outer_diameter=10 * inch, clearance=2 * inch)
    >>> point = turning_points(survey, Appliance(), chimney, load_rulebook("us"))[0]
    >>> point.measure, round(point.off / inch, 2), point.topic, str(point.becomes)
    ('wall_to_flue_centre', 0.25, 'position', 'fail')
    """
    say = Wording(system or system_of(rulebook.code))
    reckoned = reckon(survey, appliance, chimney, rulebook, say)
    points = []
    for measure, step in _measured(survey):
        for way in (1, -1):
            if point := _first_turn(reckoned, measure, way * step, say):
                points.append((abs(point.off) / step, point))
    points.sort(key=lambda one: one[0])
    return tuple(point for _, point in points[:most])


def _measured(survey: Survey) -> Iterator[tuple[str, float]]:
    """Measures that were taken, with their finest step."""
    for one in fields(survey):
        if one.name in MEASURES and getattr(survey, one.name) is not None:
            yield one.name, MEASURES[one.name].step


def _with(reckoned: Reckoning, measure: str, off: float, say: Wording) -> Reckoning | None:
    """Reckon again with one measure off; None where it was not taken or cannot be so much off."""
    given = reckoned.workings
    survey = given.survey
    value = getattr(survey, measure)
    if not isinstance(value, int | float) or isinstance(value, bool) or not off:
        return None
    changed: dict[str, Any] = {measure: value + off, "tolerances": {}}
    try:
        return reckon(replace(survey, **changed), given.appliance, given.chimney, given.rulebook, say)
    except ValueError:
        # A measure that cannot be so much smaller, such as a height below nothing, is not off by that.
        return None


def _verdicts(reckoned: Reckoning) -> dict[str, Outcome]:
    """Outcome by topic; of a check only where no finding tells it."""
    verdicts = {finding.topic: finding.outcome for finding in reckoned.findings}
    for check in reckoned.checks:
        told = next((topic for start, topic in _TOLD.items() if check.name.startswith(start)), None)
        if told not in verdicts:
            verdicts.setdefault(check.name, check.outcome)
    return verdicts


def _turned(one: Reckoning, other: Reckoning) -> Iterator[tuple[str, Outcome]]:
    """Topics whose verdict differs, and the list of sections where only that does."""
    before, after = _verdicts(one), _verdicts(other)
    for topic, outcome in before.items():
        if topic in after and after[topic] is not outcome:
            yield topic, after[topic]
    if _loaded(one) != _loaded(other) and before.get("sections") is after.get("sections"):
        yield LOAD, Outcome.PASS


def _loaded(reckoned: Reckoning) -> tuple[dict[str, int], int]:
    plan = reckoned.workings.sections
    return ({}, 0) if plan is None else (plan.counts(), plan.braces or 0)


def _first_turn(reckoned: Reckoning, measure: str, step: float, say: Wording) -> TurningPoint | None:
    """Close in on the first turn one way, by halves."""
    still = 0.0
    for count in _STEPS:
        off = count * step
        other = _with(reckoned, measure, off, say)
        if other is None:
            return None
        if turned := _verdict_turned(reckoned, other):
            break
        still = off
    else:
        return None
    for _ in range(_HALVINGS):
        middle = (still + off) / 2
        nearer = _with(reckoned, measure, middle, say)
        if nearer is not None and (there := _verdict_turned(reckoned, nearer)):
            off, other, turned = middle, nearer, there
        else:
            still = middle
    topic, becomes = turned[0]
    told = _Told(reckoned, other, measure, off, False, say, beyond=True)
    return TurningPoint(measure, off, topic, becomes, told.sentence(topic, becomes))


def _verdict_turned(one: Reckoning, other: Reckoning) -> list[tuple[str, Outcome]]:
    return [(topic, becomes) for topic, becomes in _turned(one, other) if topic != LOAD]


@dataclass(frozen=True)
class _Told:
    """Puts a turn into words."""

    reckoned: Reckoning
    other: Reckoning
    measure: str
    off: float
    either_way: bool
    say: Wording
    #: Whether the verdict turns just beyond that, not at it.
    beyond: bool = False

    def sentence(self, topic: str, becomes: Outcome) -> str:
        way = "more or less" if self.either_way else "more" if self.off > 0 else "less"
        amount = f"{'over ' if self.beyond else ''}{write_measure(self.measure, abs(self.off), self.say)}"
        if_off = f"if {measure_words(self.measure)} were {amount} {way} than measured"
        if topic == LOAD:
            return f"The chimney would take {self._stack()} {if_off}: measure it again, or load both."
        does = {Outcome.PASS: "pass", Outcome.FAIL: "fail", Outcome.UNKNOWN: "not be known"}[becomes]
        again = "" if self.beyond else ": measure it again"
        return f"{_capital(topic)}{self._room(topic)} It would {does}{self._instead(topic)} {if_off}{again}."

    def _instead(self, topic: str) -> str:
        """What the plan would then take instead of what fails."""
        finding = next((one for one in self.other.findings if one.topic == topic), None)
        answer = finding.answered_by if finding else ""
        return f" and the {answer} take its place" if answer else ""

    def _room(self, topic: str) -> str:
        finding = next((one for one in self.reckoned.findings if one.topic == topic), None)
        if finding is None or finding.room is None or finding.unit not in ("m", "Pa"):
            return "."
        return f": {_amount(finding, self.say)}."

    def _stack(self) -> str:
        counts, braces = _loaded(self.other)
        stack = " + ".join(f"{count} x {name}" for name, count in counts.items()) or "another stack"
        if braces != _loaded(self.reckoned)[1]:
            stack += f" and {braces or 'no'} brace{'' if braces == 1 else 's'}"
        return stack


def _amount(finding: Finding, say: Wording) -> str:
    room = finding.room or 0.0
    short = room < -EQUAL_WITHIN
    write = say.draft if finding.unit == "Pa" else say.length
    return f"{write(abs(room), 'up' if short else 'down')} {'short' if short else 'to spare'}"


def _capital(topic: str) -> str:
    words = topic.replace(".", " ").replace("_", " ")
    return words[:1].upper() + words[1:]
