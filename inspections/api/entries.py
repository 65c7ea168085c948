"""What people entered on a tablet."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router

from inspections.api.authentication import HEADERS, sender_of, user_of
from inspections.api.entry_schemas import EntriesIn, EntriesOut, EntryResultOut, result_out
from inspections.api.places import job_sent_to
from inspections.api.refusals import REFUSED
from inspections.errors import InspectionsError
from inspections.services.entries import entries_take
from inspections.services.entry_reading import entry_named, entry_read
from inspections.services.sent_entries import SentEntry

router = Router()


@router.post(
    "/jobs/{row:job}/entries",
    response={200: EntriesOut, **REFUSED},
    url_name="tablet_entries",
    summary="Send entries",
    openapi_extra=HEADERS,
)
def entries(request: HttpRequest, job: int, payload: EntriesIn) -> EntriesOut:
    """Take entries of one job and say what became of each; sent again they get the same answer."""
    user, sender, now = user_of(request), sender_of(request), timezone.now()
    place = job_sent_to(user, job)
    read = [_read(raw) for raw in payload.entries]
    understood = [one for one in read if isinstance(one, SentEntry)]
    results = iter(entries_take(job=place, by=user, sent=understood, sender=sender, now=now))
    return EntriesOut(
        server_time=now,
        clock_skew=sender.clock_skew,
        results=[one if isinstance(one, EntryResultOut) else result_out(next(results)) for one in read],
    )


def _read(raw: Any) -> SentEntry | EntryResultOut:
    try:
        return entry_read(raw)
    except InspectionsError as error:
        return EntryResultOut(
            entry=entry_named(raw), outcome="refused", code=error.code, sentence=error.sentence
        )
