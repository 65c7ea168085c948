"""Days of the invented shop: everything is told from today, so that nothing in it ever grows old."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from calcs.rulebook import load_rulebook
from calcs.servicing import HEATING_SEASON, next_due
from jobs.models import Installation

LONG_AGO = 760
_SATURDAY = 5
_MONTHS_OF_YEAR = 12


def at(day: date, clock: time, installation: Installation) -> datetime:
    """Return a moment by the clock of the house."""
    return datetime.combine(day, clock, ZoneInfo(installation.site.time_zone))


def working_day(today: date, away: int) -> date:
    """Return the day so many working days before or after today; 0 is today, whatever day that is."""
    step = timedelta(days=1 if away > 0 else -1)
    day = today
    for _ in range(abs(away)):
        day += step
        while day.weekday() >= _SATURDAY:
            day += step
    return day


def working_days_before(day: date, count: int) -> date:
    """Return the working day so many before another."""
    return working_day(day, -count)


def day_done(installation: Installation, today: date, due_in: int, *, later: int = 0) -> date:
    """Return the past working day on which the sweep was done, if it falls due so many days from today.

    Where no day does exactly that, because services are brought forward to before the heating season, it is
    the earliest of those that come nearest, or one so many days later.
    """
    book = load_rulebook(installation.site.rule_book)
    fuel = installation.appliance.fuel
    rule = book.find(f"sweep.interval.{fuel}")
    yearly = rule is not None and (rule.value or 0) >= _MONTHS_OF_YEAR
    season = HEATING_SEASON if yearly else None
    wanted = today + timedelta(days=due_in)

    def distance(day: date) -> int:
        due = next_due(day, "annual sweep", book, fuel=fuel, season=season)
        return LONG_AGO if due is None else abs((due - wanted).days)

    days = [today - timedelta(days=ago) for ago in range(LONG_AGO, 4, -1)]
    distances = {day: distance(day) for day in days if day.weekday() < _SATURDAY}
    nearest = [day for day, far in distances.items() if far == min(distances.values())]
    return nearest[min(later, len(nearest) - 1)]
