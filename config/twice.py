"""A form pressed twice, or sent again by the browser, does what it does once."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

#: How long the same form is known again [s], and how long its second sending waits for the first.
KNOWN, PATIENCE = 300, 8.0
_IN_HAND = "in hand"


def done_once(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Send whoever sends one and the same form again to where its first sending led.

    Every page that is shown writes the token against forgery in another way, so the same token with the same
    fields is the same form. What was refused, and what a page asks for in passing, is not remembered.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        name = _name(request)
        if name is None:
            return get_response(request)
        if not cache.add(name, _IN_HAND, KNOWN) and (place := _where_it_led(name)):
            return HttpResponseRedirect(place)
        response = get_response(request)
        if response.status_code == HttpResponseRedirect.status_code:
            cache.set(name, response.headers["Location"], KNOWN)
        else:
            cache.delete(name)
        return response

    return answer


def _name(request: HttpRequest) -> str | None:
    if request.method != "POST" or "HX-Request" in request.headers or not request.user.is_authenticated:
        return None
    token, session = request.POST.get("csrfmiddlewaretoken"), request.session.session_key
    if not token or not session or request.FILES:
        return None
    told = repr((session, request.get_full_path(), sorted(request.POST.lists())))
    return f"form:{hashlib.sha256(told.encode(errors='replace')).hexdigest()}"


def _where_it_led(name: str) -> str | None:
    """Return where the first sending led; None when it was refused, or takes too long."""
    end = time.monotonic() + PATIENCE
    while (place := cache.get(name)) == _IN_HAND and time.monotonic() < end:
        time.sleep(0.1)
    return None if place == _IN_HAND else place
