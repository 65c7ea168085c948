"""Headers every answer carries, and the clock pages show."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from inspections.api import PREFIX
from inspections.api.refusals import too_large
from jobs.models import Shop

#: Nothing stands inline, neither script nor style. `data:` is for drawings, `blob:` for a photo just taken.
POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
#: What a form's other fields may add to one photo, or what a file of unsent work holds besides [bytes].
_ROOM = 5 * 1024 * 1024


def content_security_policy(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Add the content security policy to every answer."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Content-Security-Policy", _policy(response))
        return response

    return answer


def _policy(response: HttpResponse) -> str:
    """Return the policy, with the one script a view may have named by its digest."""
    source = getattr(response, "script_source", "")
    return POLICY.replace("script-src 'self'", f"script-src 'self' {source}") if source else POLICY


def nothing_kept(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Have pages kept nowhere unless a view says otherwise: after signing out, going back shows nothing."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Cache-Control", "private, no-store")
        return response

    return answer


def one_photo_at_most(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Refuse what is larger than any form here sends, before any of it is read or written to the disk."""

    def answer(request: HttpRequest) -> HttpResponse:
        size = request.META.get("CONTENT_LENGTH") or "0"
        if not (size.isdecimal() and int(size[:20]) > _most(request.path)):
            return get_response(request)
        if request.path.startswith(f"{PREFIX}/"):
            return too_large()
        return render(request, "413.html", status=HTTPStatus.REQUEST_ENTITY_TOO_LARGE)

    return answer


def _most(path: str) -> int:
    """Return how much an address takes: a photo in a file of unsent work is written as text, a third more."""
    photo: int = settings.PHOTO_MAX_BYTES
    return (photo * 4 // 3 if path == reverse("bring_in") else photo) + _ROOM


def shop_clock(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Show and read times on the shop's clock."""

    def answer(request: HttpRequest) -> HttpResponse:
        with timezone.override(Shop.current().time_zone):
            return get_response(request)

    return answer
