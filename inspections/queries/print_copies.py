"""Photos as papers print them."""

from __future__ import annotations

import hashlib

from django.core.files.storage import default_storage

from inspections.errors import InspectionsError
from inspections.models import Photo
from inspections.services.pictures import picture_copy
from jobs.services.kept_files import file_read

#: Pixels along the longer side: 190 to the inch where a photo is printed 84 mm wide. Finer only makes the
#: file heavy.
SIDE, QUALITY = 640, 78


def print_copy_read(*, sha256: str) -> tuple[bytes, str]:
    """Return a photo at the size papers print it, and its media type.

    It is made from the print copy, or from the original while the worker has not made that one.
    """
    photo = Photo.objects.filter(sha256=sha256).order_by("-done_at", "pk").first()
    if photo is None:
        raise InspectionsError("photo_missing", f"No photo with the hash {sha256[:16]} is kept here.")
    copy = photo.print_copy.name or ""
    content = file_read(name=copy) if copy and default_storage.exists(copy) else _original(photo)
    return picture_copy(content, longest=SIDE, quality=QUALITY), "image/jpeg"


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
