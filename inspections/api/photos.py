"""A photo's bytes, part by part, from wherever a cut left them."""

from __future__ import annotations

import uuid
from http import HTTPStatus
from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router
from pydantic import BaseModel, Field

from inspections.api.authentication import HEADERS, user_of
from inspections.api.places import job_at
from inspections.api.refusals import REFUSED, ApiError
from inspections.services.photo_parts import (
    MOST_IN_A_PART,
    PhotoState,
    WrongOffsetError,
    photo_part_keep,
    photo_state,
)

router = Router()
_PART: dict[str, Any] = {
    "parameters": [
        *HEADERS["parameters"],
        *(
            {"in": "header", "name": name, "required": True, "schema": schema, "description": description}
            for name, schema, description in (
                ("Upload-Offset", {"type": "integer", "minimum": 0}, "Where in the photo this part begins."),
                ("Upload-Length", {"type": "integer", "minimum": 1}, "Size of the whole photo in bytes."),
                ("Content-Digest", {"type": "string"}, "sha-256=:base64: of this part (RFC 9530)."),
                ("Repr-Digest", {"type": "string"}, "sha-256=:base64: of the whole photo (RFC 9530)."),
            )
        ),
    ],
    "requestBody": {
        "required": True,
        "content": {
            "application/octet-stream": {
                "schema": {"type": "string", "format": "binary", "maxLength": MOST_IN_A_PART}
            }
        },
    },
}


class PhotoStateOut(BaseModel):
    """How far a photo has come."""

    offset: int = Field(description="How many bytes are here; the next part begins there.")
    complete: bool


@router.get(
    "/jobs/{row:job}/photos/{uuid:entry}",
    response={200: PhotoStateOut, **REFUSED},
    url_name="tablet_photo",
    summary="How far a photo has come",
    openapi_extra=HEADERS,
)
def state(request: HttpRequest, job: int, entry: uuid.UUID) -> PhotoStateOut:
    """Say how many bytes of a photo are here."""
    user = user_of(request)
    return _told(photo_state(job=job_at(user, job), entry=entry, by=user))


@router.patch(
    "/jobs/{row:job}/photos/{uuid:entry}",
    response={200: PhotoStateOut, **REFUSED},
    url_name="tablet_photo",
    summary="Send one part of a photo",
    openapi_extra=_PART,
)
def part(request: HttpRequest, job: int, entry: uuid.UUID) -> PhotoStateOut:
    """Take one part of a photo; the last one makes the photo."""
    user = user_of(request)
    size = request.META.get("CONTENT_LENGTH") or "0"
    if not size.isdecimal() or int(size[:20]) > MOST_IN_A_PART:
        raise ApiError(
            HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
            "part_too_large",
            f"A part of a photo has at most {MOST_IN_A_PART // 1024} KiB. Send it in smaller parts.",
        )
    try:
        told = photo_part_keep(
            job=job_at(user, job),
            entry=entry,
            by=user,
            offset=_count(request, "Upload-Offset"),
            size_of_whole=_count(request, "Upload-Length"),
            content=request.body,
            part_digest=request.headers.get("Content-Digest", ""),
            whole_digest=request.headers.get("Repr-Digest", ""),
            now=timezone.now(),
        )
    except WrongOffsetError as error:
        raise ApiError(HTTPStatus.CONFLICT, error.code, error.sentence, offset=error.offset) from error
    return _told(told)


def _count(request: HttpRequest, name: str) -> int:
    told = request.headers.get(name, "")
    if not (told.isascii() and told.isdecimal() and len(told) <= 12):
        raise ApiError(
            HTTPStatus.BAD_REQUEST,
            "headers",
            f"The app did not say the photo's {name} as a number. Update it.",
        )
    return int(told)


def _told(state: PhotoState) -> PhotoStateOut:
    return PhotoStateOut(offset=state.offset, complete=state.complete)
