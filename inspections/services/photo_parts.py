"""Photos that arrive in parts: each is kept until the last one makes the photo."""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
import uuid
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import QuerySet
from django.db.models.functions import Length

from inspections.errors import InspectionsError
from inspections.models import Photo, PhotoPart, SiteRecord
from inspections.queries.crews import works_on
from inspections.services.photos import photo_store
from jobs.models import Job, User

MOST_IN_A_PART = 512 * 1024
#: A member of a digest field: its name, and the digest between colons (RFC 9530, RFC 8941).
_DIGEST = re.compile(r"(?:^|,)\s*sha-256=:([A-Za-z0-9+/]+={0,2}):\s*(?:,|$)")


@dataclass(frozen=True)
class PhotoState:
    """How far a photo has come."""

    offset: int
    complete: bool


class WrongOffsetError(InspectionsError):
    """A part that begins elsewhere than where the server stands."""

    def __init__(self, offset: int) -> None:
        super().__init__("wrong_offset", f"{offset} bytes of this photo are here. Go on from there.")
        self.offset = offset


def photo_state(*, job: Job, entry: uuid.UUID, by: User) -> PhotoState:
    """Return how many bytes of a photo are here, and whether it is whole."""
    _check_may_send(job, by)
    photo = _stored(job, entry)
    if photo is not None:
        return PhotoState(photo.size, complete=True)
    return PhotoState(_reached(_parts(job, entry, by)), complete=False)


def photo_part_keep(
    *,
    job: Job,
    entry: uuid.UUID,
    by: User,
    offset: int,
    size_of_whole: int,
    content: bytes,
    part_digest: str,
    whole_digest: str,
    now: datetime,
) -> PhotoState:
    """Keep one part; the last one makes the photo. The same part sent again changes nothing.

    A whole that is not what was promised, or no picture, takes its parts with it, so that the tablet can
    start anew: what it is told then is raised once they are gone for good.
    """
    _check_may_send(job, by)
    _check_part(offset, size_of_whole, content)
    if digest_read(part_digest) != hashlib.sha256(content).hexdigest():
        raise InspectionsError("part_broken", "A part of the photo changed on its way. Send that part again.")
    sha256 = digest_read(whole_digest)
    with transaction.atomic():
        # The lock that answers and photos take too: two sendings of one part queue up.
        SiteRecord.objects.select_for_update().filter(job=job).first()
        if stored := _stored(job, entry, sha256):
            return PhotoState(stored.size, complete=True)
        parts = _parts(job, entry, by)
        _drop_another(parts, offset, size_of_whole, sha256)
        reached = _reached(parts)
        if offset < reached and _is_here(parts, offset, content):
            return PhotoState(reached, complete=False)
        if offset != reached:
            raise WrongOffsetError(reached)
        PhotoPart.objects.create(
            entry=entry,
            job=job,
            by=by,
            offset=offset,
            size_of_whole=size_of_whole,
            sha256=sha256,
            content=content,
            received_at=now,
        )
        reached += len(content)
        if reached < size_of_whole:
            return PhotoState(reached, complete=False)
        refusal = _make_photo(parts, sha256, by, now)
    if refusal:
        raise refusal
    return PhotoState(reached, complete=True)


def digest_read(told: str) -> str:
    """Return the SHA-256 of a digest field as hexadecimal digits."""
    found = _DIGEST.search(told)
    try:
        digest = base64.b64decode(found[1], validate=True) if found else b""
    except binascii.Error:
        digest = b""
    if len(digest) != hashlib.sha256().digest_size:
        raise InspectionsError(
            "digest_missing", "The app did not say the photo's digest as sha-256=:...:. Update it."
        )
    return digest.hex()


def _make_photo(parts: QuerySet[PhotoPart], sha256: str, by: User, now: datetime) -> InspectionsError | None:
    """Make the photo of its parts, which are gone afterwards in any case; return what speaks against it."""
    rows = list(parts.order_by("offset"))
    whole = b"".join(bytes(row.content) for row in rows)
    parts.delete()
    if hashlib.sha256(whole).hexdigest() != sha256:
        return InspectionsError(
            "photo_broken", "The photo did not arrive as it was taken. It is sent again from its beginning."
        )
    try:
        photo_store(job=rows[0].job, upload=ContentFile(whole), by=by, now=now, entry=rows[0].entry)
    except InspectionsError as error:
        return error
    return None


def _check_may_send(job: Job, by: User) -> None:
    if not (by.may_sign_off or works_on(by, job)):
        raise InspectionsError("not_your_job", f"{job.number} is not a job of your crew.")


def _check_part(offset: int, size_of_whole: int, content: bytes) -> None:
    most = settings.PHOTO_MAX_BYTES
    if size_of_whole > most:
        raise InspectionsError(
            "photo_too_big",
            f"The photo is larger than {most // (1024 * 1024)} MB. Set the camera to a smaller picture and"
            " take it again.",
        )
    if not 0 < len(content) <= MOST_IN_A_PART:
        raise InspectionsError(
            "part_size", f"A part of a photo has between 1 byte and {MOST_IN_A_PART // 1024} KiB."
        )
    if offset < 0 or offset + len(content) > size_of_whole:
        raise InspectionsError("part_outside", "That part lies beyond the end of the photo. Start it anew.")


def _stored(job: Job, entry: uuid.UUID, sha256: str = "") -> Photo | None:
    photo = Photo.objects.filter(entry=entry).first()
    if photo is None:
        return None
    if photo.job_id != job.pk:
        raise InspectionsError("entry_taken", "This entry was used for something else already.")
    if sha256 and photo.sha256 != sha256:
        raise InspectionsError(
            "entry_differs", "The photo before this one had arrived. Take it again to put it in its place."
        )
    return photo


def _parts(job: Job, entry: uuid.UUID, by: User) -> QuerySet[PhotoPart]:
    parts = PhotoPart.objects.filter(entry=entry)
    if parts.exclude(job=job, by=by).exists():
        raise InspectionsError("entry_taken", "This entry was used for something else already.")
    return parts


def _drop_another(parts: QuerySet[PhotoPart], offset: int, size_of_whole: int, sha256: str) -> None:
    """Have the parts of another photo under the same number make way for this one's beginning."""
    of_another = parts.exclude(sha256=sha256, size_of_whole=size_of_whole)
    if of_another.exists():
        if offset:
            raise WrongOffsetError(0)
        of_another.delete()


def _reached(parts: QuerySet[PhotoPart]) -> int:
    sizes = parts.annotate(bytes=Length("content")).values_list("bytes", flat=True)
    return sum(sizes)


def _is_here(parts: QuerySet[PhotoPart], offset: int, content: bytes) -> bool:
    part = parts.filter(offset=offset).first()
    return part is not None and bytes(part.content) == content
