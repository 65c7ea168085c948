"""Times of visits on pages: on the shop's clock, and on the clock of the house where the two differ."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django import template
from django.utils import timezone

from jobs.models import Visit

register = template.Library()


@register.filter
def hours(visit: Visit) -> str:
    """Show from when to when on the shop's clock: `9 AM – 3:30 PM`."""
    return _span(timezone.localtime(visit.starts_at), timezone.localtime(visit.ends_at))


@register.filter
def house_hours(visit: Visit) -> str:
    """Show the same on the clock of the house; empty where both clocks agree."""
    start, end = visit.local_start, visit.local_end
    if start.utcoffset() == timezone.localtime(visit.starts_at).utcoffset():
        return ""
    return f"{_span(start, end)} {start.tzname()}"


@register.filter
def zone_now(zone: str) -> str:
    """Say how a time zone's clock stands to the shop's now: empty, or `1 h behind`, `5 h ahead`."""
    here, there = (
        timezone.now().astimezone(one) for one in (timezone.get_current_timezone(), ZoneInfo(zone))
    )
    minutes = round(_offset(there) - _offset(here))
    if not minutes:
        return ""
    hours, rest = divmod(abs(minutes), 60)
    shown = f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{shown} {'ahead of' if minutes > 0 else 'behind'} the shop"


def _offset(moment: datetime) -> float:
    offset = moment.utcoffset()
    return offset.total_seconds() / 60 if offset else 0.0


def _span(start: datetime, end: datetime) -> str:
    return f"{_clock(start)} – {_clock(end)}"


def _clock(moment: datetime) -> str:
    return f"{moment:%-I %p}" if moment.minute == 0 else f"{moment:%-I:%M %p}"
