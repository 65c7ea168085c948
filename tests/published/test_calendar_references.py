"""Due dates against the calendars of general-purpose libraries."""

import random
from datetime import UTC, date, datetime, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, rrule
from icalendar import Alarm, Event

from calcs.rulebook import load_rulebook
from calcs.servicing import add_months, next_due, remind_on


def _days(seed, count):
    rng = random.Random(seed)
    return [date(1996, 1, 1) + timedelta(days=rng.randrange(20000)) for _ in range(count)]


# python-dateutil, relativedelta: the day of the month is cut to the month's length.
@pytest.mark.parametrize("months", [1, 3, 6, 11, 12, 13, 24, -1, -12])
def test_months_are_counted_as_dateutil_counts_them(months):
    for day in [*_days(months, 400), date(2024, 2, 29), date(2025, 1, 31), date(2025, 12, 31)]:
        assert add_months(day, months) == day + relativedelta(months=months)


# RFC 5545 recurrence by python-dateutil: the last day of every month, bymonthday -1.
def test_month_ends_stay_month_ends_where_the_months_are_long_enough():
    start = datetime(2024, 1, 31, tzinfo=UTC)
    ends = [moment.date() for moment in rrule(MONTHLY, bymonthday=-1, count=60, dtstart=start)]
    assert [add_months(date(2024, 1, 31), number) for number in range(60)] == ends


# RFC 5545 event and alarms, written and read again by the icalendar package.
def test_reminders_are_the_alarms_a_calendar_would_ring():
    due = next_due(date(2024, 2, 29), "annual sweep", load_rulebook("us"))
    event = Event()
    event.add("dtstart", due)
    for step in (-30, -7, 14):
        alarm = Alarm()
        alarm.add("trigger", timedelta(days=step))
        event.add_component(alarm)
    read = Event.from_ical(event.to_ical())
    start = read.decoded("dtstart")
    rung = [start + alarm.decoded("trigger") for alarm in read.walk("VALARM")]
    assert tuple(rung) == remind_on(due)
