"""From the clock on somebody's wall to a moment in time."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from jobs.errors import JobsError


def local_moment(*, day: date, at: time, zone: str) -> datetime:
    """Return the moment at which the clock of a time zone shows this day and time.

    When clocks go forward some times do not exist, when they go back some come twice: both are refused,
    because a guess would send a crew an hour wrong.
    """
    wall = datetime.combine(day, at)
    first = wall.replace(tzinfo=ZoneInfo(zone), fold=0)
    second = first.replace(fold=1)
    if first.utcoffset() == second.utcoffset():
        return first
    shown = f"{wall:%-I:%M %p} on {wall:%-d %B %Y}"
    if first.astimezone(UTC).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != wall:
        raise JobsError(
            "time_skipped", f"{shown} does not exist there: the clocks go forward. Give a time an hour later."
        )
    raise JobsError(
        "time_twice",
        f"{shown} comes twice there: the clocks go back. Give a time before or after that hour.",
    )
