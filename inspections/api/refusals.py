"""What a tablet reads when something is refused: always a code and a sentence."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.core.signals import got_request_exception
from django.db import IntegrityError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.http.request import RawPostDataException, UnreadablePostError
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError
from pydantic import BaseModel

from inspections.errors import InspectionsError
from inspections.services.strict_json import problem_words
from jobs.errors import JobsError

log = logging.getLogger(__name__)


class Refusal(BaseModel):
    """Why something was refused, for a program and for a person."""

    code: str
    sentence: str


#: What every address may answer besides what it is asked for, for the API's description.
REFUSED: dict[Any, Any] = {frozenset({400, 401, 403, 404, 405, 409, 413, 422, 503}): Refusal}


class ApiError(InspectionsError):
    """A refusal with its own status, and further fields where a program needs them."""

    def __init__(self, status: HTTPStatus, code: str, sentence: str, **more: Any) -> None:
        super().__init__(code, sentence)
        self.status = status
        self.more = more


def refusal_of(error: JobsError) -> HttpResponse:
    """Return a refusal as JSON; a rule of the record that stands against it is a conflict."""
    status = getattr(error, "status", HTTPStatus.CONFLICT)
    more = getattr(error, "more", {})
    return JsonResponse({"code": error.code, "sentence": error.sentence, **more}, status=status)


def signed_out() -> ApiError:
    """Return what nobody is told."""
    return ApiError(
        HTTPStatus.UNAUTHORIZED,
        "signed_out",
        "You are signed out. Sign in again: what you entered is kept and goes on from there.",
    )


def no_such_address() -> ApiError:
    """Return what is told of an address nothing answers to."""
    return ApiError(
        HTTPStatus.NOT_FOUND, "no_such_address", "Nothing answers to this address. Update the app."
    )


def wrong_method() -> ApiError:
    """Return what is told of a method an address does not know."""
    return ApiError(HTTPStatus.METHOD_NOT_ALLOWED, "wrong_method", "This address does not take that method.")


def register(api: NinjaAPI) -> None:
    """Have every error of an API told in one way."""
    for kind, answer in (
        (JobsError, _rule),
        (Http404, _not_there),
        (AuthenticationError, _signed_out),
        (ValidationError, _not_understood),
        (HttpError, _not_json),
        (RawPostDataException, _not_json),
        (UnreadablePostError, _cut_off),
        (RequestDataTooBig, _too_large),
        (IntegrityError, _same_again),
        (OperationalError, _busy),
        (Exception, _broken),
    ):
        api.add_exception_handler(kind, answer)  # type: ignore[arg-type]


def _rule(request: HttpRequest, error: JobsError) -> HttpResponse:
    return refusal_of(error)


def _not_there(request: HttpRequest, error: Http404) -> HttpResponse:
    return refusal_of(no_such_address())


def _signed_out(request: HttpRequest, error: AuthenticationError) -> HttpResponse:
    return refusal_of(signed_out())


def _not_understood(request: HttpRequest, error: ValidationError) -> HttpResponse:
    words = problem_words(error.errors)
    return _told(HTTPStatus.UNPROCESSABLE_ENTITY, "not_understood", f"That was not understood. {words}.")


def _not_json(request: HttpRequest, error: Exception) -> HttpResponse:
    return _told(
        HTTPStatus.BAD_REQUEST, "not_json", "What arrived is no JSON. Send it again, or update the app."
    )


def _cut_off(request: HttpRequest, error: Exception) -> HttpResponse:
    return _told(HTTPStatus.BAD_REQUEST, "cut_off", "It did not arrive whole. Send it again.")


def _too_large(request: HttpRequest, error: Exception) -> HttpResponse:
    return too_large()


def too_large() -> HttpResponse:
    """Return what is told of more than one request may carry."""
    return _told(
        HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
        "too_large",
        "That is more than may be sent at once. Send it in smaller pieces.",
    )


def _same_again(request: HttpRequest, error: IntegrityError) -> HttpResponse:
    log.exception("The database refused what was sent to %s", request.path, exc_info=error)
    return _told(
        HTTPStatus.CONFLICT,
        "same_again",
        "The same arrived twice at once, and nothing of this sending was kept. Send it again.",
    )


def _busy(request: HttpRequest, error: OperationalError) -> HttpResponse:
    log.error("The database did not answer %s", request.path, exc_info=error)
    return _told(
        HTTPStatus.SERVICE_UNAVAILABLE,
        "busy",
        "The server is busy, and nothing of this sending was kept. It is tried again in a while.",
    )


def _broken(request: HttpRequest, error: Exception) -> HttpResponse:
    got_request_exception.send(sender=None, request=request)
    log.error("An error no one foresaw at %s", request.path, exc_info=error)
    return _told(
        HTTPStatus.INTERNAL_SERVER_ERROR,
        "broken",
        "Something broke on the server, and nothing of this sending was kept. Tell the office if it goes on.",
    )


def _told(status: HTTPStatus, code: str, sentence: str) -> HttpResponse:
    return JsonResponse({"code": code, "sentence": sentence}, status=status)
