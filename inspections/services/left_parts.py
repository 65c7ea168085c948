"""Parts of photos that nobody goes on with."""

from __future__ import annotations

from datetime import datetime, timedelta

from inspections.models import PhotoPart

#: A tablet may lie in a van for weeks; after this it starts a photo anew.
LEFT_BEHIND_AFTER = timedelta(days=30)


def photo_parts_drop_left(*, now: datetime) -> int:
    """Remove the parts of photos that nobody has gone on with for a month; return how many."""
    going_on = PhotoPart.objects.filter(received_at__gte=now - LEFT_BEHIND_AFTER).values("entry")
    dropped, _ = PhotoPart.objects.exclude(entry__in=going_on).delete()
    return dropped
