"""When the sweep and the inspection are next due, and when to remind of them."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from calcs.checks import Source
from calcs.rulebook import RuleBook, as_rulebook

#: Rule that gives the interval, by kind of service.
_INTERVAL_RULES = {
    "sweep": "sweep.interval",
    "annual sweep": "sweep.interval",
    "inspection": "inspection.interval",
    "annual inspection": "inspection.interval",
}
_TRIGGERS = "inspection.triggers"
#: First and last day of the heating season as (month, day). Common practice, from memory.
HEATING_SEASON = ((10, 1), (4, 30))
#: Days from the due date on which a reminder goes out; the last only if nothing is booked.
REMINDER_STEPS = (-30, -7, 14)


@dataclass(frozen=True)
class InspectionLevel:
    """How deep an inspection goes: its number, what it looks at, and why it is due."""

    level: int
    looks_at: str
    because: str
    source: Source


def add_months(day: date, months: int) -> date:
    """Same day of a later month, or that month's last day when it is shorter.

    Parameters
    ----------
    day : date
        Day to count from
    months : int
        Months to add; negative counts back [-]

    Returns
    -------
    date
        The day

    Raises
    ------
    ValueError
        If the result lies outside the calendar of years 1 to 9999.

    Examples
    --------
    >>> add_months(date(2024, 2, 29), 12)
    datetime.date(2025, 2, 28)
    >>> add_months(date(2025, 1, 31), 1)
    datetime.date(2025, 2, 28)

    References
    ----------
    Common practice; the same as python-dateutil's relativedelta.
    """
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    if not 1 <= year <= 9999:
        raise ValueError(f"months: {months} months from {day} is outside the calendar")
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def next_due(
    last_done: date,
    kind: str,
    rulebook: RuleBook | str,
    *,
    fuel: str = "wood",
    season: tuple[tuple[int, int], tuple[int, int]] | None = None,
) -> date | None:
    """Day by which a service is due again.

    Parameters
    ----------
    last_done : date
        Day it was last done; for a new installation the day the job was closed
    kind : str
        annual sweep | annual inspection
    rulebook : RuleBook or str
        Rules of the site's country
    fuel : str
        wood | pellets | smokeless | coal
    season : tuple of (month, day), optional
        First and last day of the heating season. A service that would fall due inside the season is due on
        the day before it begins, so that the appliance is not lit on an old sweep. None keeps the plain
        anniversary

    Returns
    -------
    date or None
        The due date; None when the rule book holds no interval for this service and fuel

    Raises
    ------
    ValueError
        If `kind` is not known, or the rule book's interval is not a whole number of months.

    Notes
    -----
    The season only ever brings the date forward, never behind the interval, and never to the day it was
    last done or before.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> next_due(date(2024, 2, 29), "annual sweep", load_rulebook("us"))
    datetime.date(2025, 2, 28)
    >>> next_due(date(2025, 11, 15), "annual sweep", load_rulebook("us"), season=HEATING_SEASON)
    datetime.date(2026, 9, 30)

    References
    ----------
    Intervals by the rule book: sweep.interval and inspection.interval.
    """
    rulebook = as_rulebook(rulebook)
    if kind not in _INTERVAL_RULES:
        raise ValueError(f"kind: {kind!r} is not one of {', '.join(_INTERVAL_RULES)}")
    months = rulebook.value(f"{_INTERVAL_RULES[kind]}.{fuel}")
    if months is None:
        return None
    if months < 1 or months != int(months):
        raise ValueError(f"rulebook: {kind} every {months:g} months is not a whole number of months")
    due = add_months(last_done, int(months))
    if season is None:
        return due
    eve = _season_around(due, *season)
    return eve if eve is not None and eve > last_done else due


def _season_around(day: date, first: tuple[int, int], last: tuple[int, int]) -> date | None:
    """Day before the season that `day` lies in, None outside a season."""
    for year in (day.year, day.year - 1):
        start = _in_year(year, first)
        end = _in_year(year if last >= first else year + 1, last)
        if start <= day <= end:
            return start - timedelta(days=1)
    return None


def _in_year(year: int, month_and_day: tuple[int, int]) -> date:
    month, day = month_and_day
    return date(year, month, min(day, calendar.monthrange(year, month)[1]))


def remind_on(due: date, steps: Iterable[int] = REMINDER_STEPS) -> tuple[date, ...]:
    """Days on which to remind of a due date.

    Parameters
    ----------
    due : date
        The due date
    steps : iterable of int
        Days from the due date, negative before it [-]

    Returns
    -------
    tuple of date
        One day for each step, in the order of the steps

    Raises
    ------
    ValueError
        If a step leads outside the calendar of years 1 to 9999.

    Examples
    --------
    >>> [str(day) for day in remind_on(date(2024, 3, 7))]
    ['2024-02-06', '2024-02-29', '2024-03-21']

    References
    ----------
    Common practice: a month and a week ahead, and a fortnight after when nothing is booked.
    """
    try:
        return tuple(due + timedelta(days=step) for step in steps)
    except OverflowError as error:
        raise ValueError(f"steps: a step from {due} leads outside the calendar") from error


def inspection_triggers(rulebook: RuleBook) -> tuple[str, ...]:
    """What the rule book knows to ask for an inspection.

    Parameters
    ----------
    rulebook : RuleBook
        Rules of the site's country

    Returns
    -------
    tuple of str
        Keys for `inspection_level`; empty when the book has no levels

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> inspection_triggers(load_rulebook("us"))[:2], inspection_triggers(load_rulebook("uk"))
    (('same_use', 'new_appliance'), ())
    """
    table = rulebook.table(_TRIGGERS)
    return tuple(table.rows) if table is not None else ()


def inspection_level(triggers: Iterable[str], rulebook: RuleBook) -> InspectionLevel | None:
    """Deepest inspection that what happened asks for.

    Parameters
    ----------
    triggers : iterable of str
        What happened, keys of `inspection_triggers`
    rulebook : RuleBook
        Rules of the site's country

    Returns
    -------
    InspectionLevel or None
        The level with what it looks at; None when nothing happened or the book has no levels

    Raises
    ------
    ValueError
        If a trigger is not known to a book that has levels.

    Notes
    -----
    Each level holds the ones before it.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> found = inspection_level(["same_use", "sale"], load_rulebook("us"))
    >>> found.level, found.because
    (2, 'sale or transfer of the house')

    References
    ----------
    NFPA 211, levels of inspection, second-hand.
    """
    table = rulebook.table(_TRIGGERS)
    if table is None:
        return None
    found: InspectionLevel | None = None
    for trigger in triggers:
        if trigger not in table.rows:
            raise ValueError(f"triggers: {trigger!r} is not one of {', '.join(table.rows)}")
        row = table.rows[trigger]
        level = int(row.one("level") or 0)
        rule = rulebook.find(f"inspection.level.{level}")
        if rule is not None and (found is None or level > found.level):
            found = InspectionLevel(level, rule.as_printed, row.name, row.source)
    return found


def why_no_interval(kind: str, rulebook: RuleBook, *, fuel: str = "wood") -> str:
    """Why a service has no due date, as a sentence.

    Parameters
    ----------
    kind : str
        annual sweep | annual inspection
    rulebook : RuleBook
        Rules of the site's country
    fuel : str
        wood | pellets | smokeless | coal

    Returns
    -------
    str
        The sentence; "" where the rule book has an interval

    Raises
    ------
    ValueError
        If `kind` is not known.

    Examples
    --------
    >>> from calcs.rulebook import load_rulebook
    >>> why_no_interval("annual sweep", load_rulebook("uk"), fuel="pellets")
    "Nothing that was read gives an interval for pellets: keep the one in the appliance's book."
    >>> why_no_interval("annual sweep", load_rulebook("uk"))
    ''
    """
    if kind not in _INTERVAL_RULES:
        raise ValueError(f"kind: {kind!r} is not one of {', '.join(_INTERVAL_RULES)}")
    rule = _INTERVAL_RULES[kind]
    if rulebook.value(f"{rule}.{fuel}") is not None:
        return ""
    told = rulebook.find(f"{rule.split('.', maxsplit=1)[0]}.{fuel}")
    if told is not None and told.value is None:
        return told.as_printed
    return (
        f"{rulebook.title}: the rule book holds no interval for {fuel}; keep the one in the appliance's book."
    )
