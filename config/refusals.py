"""What somebody reads when the database, or a rule no form asked about first, refuses what they sent."""

from __future__ import annotations

import logging
from collections.abc import Callable
from http import HTTPStatus

from django.db import IntegrityError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.errors import JobsError

log = logging.getLogger(__name__)

SAME_AGAIN = (
    "The same was saved a moment before, by somebody else or by a second press of the button."
    " Nothing was saved twice. Load the page again and look how it stands."
)
NO_ANSWER = (
    "The database did not answer in time, and nothing of this was saved."
    " Wait a moment, go back and send it once more."
)


def said_plainly(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Turn refusals that no view has answered into a page that says what to do; the log keeps the cause."""

    def answer(request: HttpRequest) -> HttpResponse:
        return get_response(request)

    answer.process_exception = _page  # type: ignore[attr-defined]
    return answer


def _page(request: HttpRequest, error: Exception) -> HttpResponse | None:
    if isinstance(error, JobsError):
        return _refused(request, error.sentence, HTTPStatus.CONFLICT)
    if isinstance(error, IntegrityError):
        log.exception("The database refused what was sent to %s", request.path)
        return _refused(request, SAME_AGAIN, HTTPStatus.CONFLICT)
    if isinstance(error, OperationalError):
        log.exception("The database did not answer %s", request.path)
        return _refused(request, NO_ANSWER, HTTPStatus.SERVICE_UNAVAILABLE)
    return None


def _refused(request: HttpRequest, sentence: str, status: HTTPStatus) -> HttpResponse:
    return render(request, "refused.html", {"sentence": sentence}, status=status)
