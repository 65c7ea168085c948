"""Photos: the original is kept as it came; a worker makes smaller copies."""

from __future__ import annotations

import hashlib
import uuid
from datetime import datetime
from typing import Protocol

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import PHOTO
from inspections.models import Photo, SiteRecord
from inspections.models.photo import original_path
from inspections.services.pictures import picture_look
from inspections.tasks.photos import prepare_photo
from jobs.models import Job, User
from jobs.services.bell import bell_ring
from jobs.services.evidence import evidence_row
from jobs.services.kept_files import file_keep, file_read


class Upload(Protocol):
    """What arrives from a camera."""

    @property
    def size(self) -> int | None:
        """Return how many bytes there are, if that is told."""
        ...

    def read(self, num_bytes: int | None = None) -> bytes:
        """Return the bytes."""
        ...


@transaction.atomic
def photo_store(
    *, job: Job, upload: Upload, by: User, now: datetime, entry: uuid.UUID | None = None
) -> Photo:
    """Keep a photo unaltered under its content's hash and ask for its copies.

    The same entry sent again gives the photo it made the first time.
    """
    content = _content(upload)
    sha256 = hashlib.sha256(content).hexdigest()
    # One lock for a record, the same one that answers take: an entry that arrives twice at once is seen by
    # the second, and nobody waits for somebody who waits for them.
    SiteRecord.objects.select_for_update().filter(job=job).first()
    if entry is not None and (earlier := _earlier(entry, job, sha256)):
        return earlier
    picture = picture_look(content)
    photo = Photo(
        entry=entry or uuid.uuid4(),
        job=job,
        sha256=sha256,
        extension=picture.extension,
        width=picture.width,
        height=picture.height,
        size=len(content),
        taken_by=by,
        requested_at=now,
        due_at=now,
    )
    photo.original.name = _keep(original_path(photo, ""), content)
    photo.save(force_insert=True)
    evidence_row(job=job, kind=PHOTO, row=photo)
    bell_ring(task=prepare_photo, pk=photo.pk)
    return photo


def _earlier(entry: uuid.UUID, job: Job, sha256: str) -> Photo | None:
    earlier = Photo.objects.filter(entry=entry).first()
    if earlier and earlier.job_id != job.pk:
        raise InspectionsError("entry_taken", "This entry was used for something else already.")
    if earlier and earlier.sha256 != sha256:
        raise InspectionsError(
            "entry_differs", "The photo before this one had arrived. Take it again to put it in its place."
        )
    return earlier


def _content(upload: Upload) -> bytes:
    most = settings.PHOTO_MAX_BYTES
    too_big = InspectionsError(
        "photo_too_big",
        f"The photo is larger than {most // (1024 * 1024)} MB. Set the camera to a smaller picture and take"
        " it again.",
    )
    if upload.size is not None and upload.size > most:
        raise too_big
    content = upload.read(most + 1)
    if len(content) > most:
        raise too_big
    if not content:
        raise InspectionsError("photo_empty", "The photo did not arrive. Send it again.")
    return content


def _keep(name: str, content: bytes) -> str:
    """The same picture is kept once, unless what lies there is not that picture."""
    if default_storage.exists(name) and file_read(name=name) == content:
        return name
    return file_keep(name=name, content=content)
