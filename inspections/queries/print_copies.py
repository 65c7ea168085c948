"""Photos as papers print them."""

from __future__ import annotations

import hashlib

from django.core.files.storage import default_storage

from inspections.errors import InspectionsError
from inspections.models import Photo
from inspections.services.photo_copies import PRINT_QUALITY, PRINT_SIDE
from inspections.services.pictures import picture_copy
from jobs.services.kept_files import file_read


def print_copy_read(*, sha256: str) -> tuple[bytes, str]:
    """Return a photo's print copy and its media type; one not made yet is made here, for this paper only."""
    photo = Photo.objects.filter(sha256=sha256).order_by("-done_at", "pk").first()
    if photo is None:
        raise InspectionsError("photo_missing", f"No photo with the hash {sha256[:16]} is kept here.")
    # A copy that was made and lost is made again: it follows from the original.
    copy = photo.print_copy.name or ""
    if copy and default_storage.exists(copy):
        return file_read(name=copy), "image/jpeg"
    return picture_copy(_original(photo), longest=PRINT_SIDE, quality=PRINT_QUALITY), "image/jpeg"


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
