"""The copies of a photo: a thumbnail for pages and one to print."""

from __future__ import annotations

import hashlib
import logging
from datetime import datetime, timedelta

from inspections.errors import InspectionsError
from inspections.models import Photo
from inspections.models.photo import derivative_path
from inspections.services.pictures import picture_copy
from inspections.services.print_copies import paper_copy_keep
from jobs.services.kept_files import file_keep, file_read

log = logging.getLogger(__name__)

THUMBNAIL_SIDE, THUMBNAIL_QUALITY = 480, 78
PRINT_SIDE, PRINT_QUALITY = 1600, 82
#: How long a photo rests before the next try; after the last try a person decides.
RESTS = (timedelta(seconds=20), timedelta(minutes=2), timedelta(minutes=10))
PICKED_UP_AT_ONCE = 40


def photos_left(*, now: datetime) -> list[int]:
    """Return the keys of photos whose copies are still to be made."""
    waiting = Photo.objects.filter(Photo.waiting(now)).order_by("due_at", "pk")
    return list(waiting.values_list("pk", flat=True)[:PICKED_UP_AT_ONCE])


def photo_prepare(*, pk: int, now: datetime) -> bool:
    """Make a photo's copies unless another worker does; True when this call finished them."""
    if not Photo.claim(pk, now):
        return False
    photo = Photo.objects.get(pk=pk)
    if photo.attempts > len(RESTS) + 1:
        _record_failure(photo, "The worker stopped in the middle of this photo again and again.", now)
        return False
    try:
        content = file_read(name=photo.original.name or "")
        if hashlib.sha256(content).hexdigest() != photo.sha256:
            raise InspectionsError("photo_altered", "The file of this photo is not the one that was sent.")
        thumbnail = picture_copy(content, longest=THUMBNAIL_SIDE, quality=THUMBNAIL_QUALITY)
        print_copy = picture_copy(content, longest=PRINT_SIDE, quality=PRINT_QUALITY)
        paper_copy_keep(sha256=photo.sha256, content=content)
        names = {
            "thumbnail": file_keep(name=derivative_path(photo, "thumbnail.jpg"), content=thumbnail),
            "print_copy": file_keep(name=derivative_path(photo, "print.jpg"), content=print_copy),
        }
    except InspectionsError as error:
        _record_failure(photo, error.sentence, now)
        return False
    except Exception as error:
        log.exception("The copies of photo %s could not be made", pk)
        _record_failure(photo, f"{type(error).__name__}: {error}", now)
        return False
    mine = Photo.objects.filter(pk=photo.pk, claimed_at=photo.claimed_at, done_at=None)
    return mine.update(done_at=now, claimed_at=None, last_error="", **names) == 1


def _record_failure(photo: Photo, sentence: str, now: datetime) -> None:
    tried_out = photo.attempts > len(RESTS)
    rest = RESTS[min(photo.attempts, len(RESTS)) - 1]
    Photo.objects.filter(pk=photo.pk, claimed_at=photo.claimed_at, done_at=None).update(
        claimed_at=None, last_error=sentence, due_at=now + rest, gave_up_at=now if tried_out else None
    )
