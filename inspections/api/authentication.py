"""Who speaks: the session's person, on a tablet that says whose work it sends."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime
from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from ninja.security import APIKeyCookie
from ninja.utils import check_csrf

from inspections.api.refusals import ApiError, signed_out
from inspections.services.sent_entries import Sender
from jobs.models import Role, User

_LONGEST_APP = 60
#: Headers of every request but `me`, for the API's description.
HEADERS: dict[str, Any] = {
    "parameters": [
        {
            "in": "header",
            "name": name,
            "required": required,
            "schema": {"type": "string"},
            "description": description,
        }
        for name, required, description in (
            ("Fluewright-Person", True, "Number of the person whose work this is, as `me` told it."),
            ("Fluewright-Device", False, "UUID the tablet made for itself."),
            ("Fluewright-Clock", False, "The tablet's time, ISO 8601 with offset. Recorded, not trusted."),
            ("Fluewright-App", False, "Version of the app's shell."),
        )
    ]
}


class Session(APIKeyCookie):
    """Somebody signed in who takes a tablet along."""

    param_name = settings.SESSION_COOKIE_NAME

    def __call__(self, request: HttpRequest) -> User:
        """Return who asks; refuse nobody, a forged request and roles that have no work on a tablet."""
        user = request.user
        if not isinstance(user, User):
            raise signed_out()
        if check_csrf(request):
            raise ApiError(
                HTTPStatus.FORBIDDEN, "token", "The page is older than your sign-in. Open the app again."
            )
        if user.role == Role.OFFICE:
            raise ApiError(
                HTTPStatus.FORBIDDEN,
                "not_for_office",
                "The tablet is for crews and inspectors. The office works at the desk.",
            )
        return user

    def authenticate(self, request: HttpRequest, key: str | None) -> User:
        """Return who asks."""
        return self(request)


class TabletSession(Session):
    """Somebody signed in on the tablet whose work is their own."""

    def __call__(self, request: HttpRequest) -> User:
        """Return who asks; refuse to take one person's work for another's."""
        user = super().__call__(request)
        told = request.headers.get("Fluewright-Person", "")
        if not told:
            raise ApiError(
                HTTPStatus.BAD_REQUEST,
                "person_missing",
                "The app did not say whose work it sends. Update it.",
            )
        if told != str(user.pk):
            raise ApiError(
                HTTPStatus.CONFLICT,
                "another_person",
                f"{user.name} is signed in on this tablet, and this is somebody else's work. Sign in as the"
                " person who entered it.",
            )
        return user


def user_of(request: HttpRequest) -> User:
    """Return who an authenticated request comes from."""
    user: User = request.auth  # type: ignore[attr-defined]
    return user


def sender_of(request: HttpRequest) -> Sender:
    """Return the tablet a request comes from, as it says itself."""
    return Sender(
        device=_device(request.headers.get("Fluewright-Device", "")),
        app=request.headers.get("Fluewright-App", "")[:_LONGEST_APP],
        clock_skew=_clock_skew(request.headers.get("Fluewright-Clock", ""), timezone.now()),
    )


def _device(told: str) -> str:
    try:
        return str(uuid.UUID(told)) if told else ""
    except ValueError as error:
        raise ApiError(
            HTTPStatus.BAD_REQUEST, "device", "The app did not say which tablet this is. Update it."
        ) from error


def _clock_skew(told: str, now: datetime) -> float | None:
    """Return by how many seconds a tablet's clock is ahead; None where it says no time."""
    try:
        clock = parse_datetime(told)
    except ValueError:
        return None
    if clock is None or clock.tzinfo is None:
        return None
    return round((clock - now.astimezone(UTC)).total_seconds(), 3)
