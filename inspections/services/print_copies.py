"""Photos as papers print them."""

from __future__ import annotations

import hashlib

from django.core.files.storage import default_storage

from inspections.errors import InspectionsError
from inspections.models import Photo
from inspections.models.photo import paper_copy_name
from inspections.services.pictures import picture_copy
from jobs.services.kept_files import file_keep, file_read

#: Pixels along the longer side: 190 to the inch where a photo is printed 84 mm wide. Finer only makes the
#: file heavy.
SIDE, QUALITY = 640, 78


def print_copy_read(*, sha256: str) -> tuple[bytes, str]:
    """Return a photo at the size papers print it, and its media type.

    The worker makes that copy when a photo arrives: shrinking two dozen takes half as long as all the rest of
    a certificate. Where there is none yet it is made now, and kept for the next paper.
    """
    photo = Photo.objects.filter(sha256=sha256).order_by("-done_at", "pk").first()
    if photo is None:
        raise InspectionsError("photo_missing", f"No photo with the hash {sha256[:16]} is kept here.")
    name = paper_copy_name(sha256)
    if not default_storage.exists(name):
        paper_copy_keep(sha256=sha256, content=_original(photo))
    return file_read(name=name), "image/jpeg"


def paper_copy_keep(*, sha256: str, content: bytes) -> None:
    """Make and keep the copy of an original that papers hold."""
    copy = picture_copy(content, longest=SIDE, quality=QUALITY)
    file_keep(name=paper_copy_name(sha256), content=copy)


def _original(photo: Photo) -> bytes:
    try:
        content = file_read(name=photo.original.name or "")
    except FileNotFoundError as error:
        raise InspectionsError(
            "photo_missing", f"The file of {photo} is missing from storage. Restore it from a backup."
        ) from error
    if hashlib.sha256(content).hexdigest() != photo.sha256:
        raise InspectionsError(
            "photo_altered",
            f"The file of {photo} is not the one that was sent. Restore it from a backup.",
        )
    return content
