"""Guards the pages a customer opens by a private link instead of a login."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from allauth.account.adapter import get_adapter
from django.contrib.auth.decorators import login_not_required
from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt

from jobs.permissions import View
from jobs.queries.customer_page import customer_by_token

#: Requests one address may make in a minute.
MOST_READS = 120
MOST_WRITES = 20
_WINDOW = 60

CustomerView = Callable[..., HttpResponseBase]


def by_link(view: CustomerView) -> View:
    """Give a view the customer whose link was followed; a link nobody has is answered with a kind 404.

    The link itself is the permission and no cookie is: there is nothing a forged form could ride on, and a
    mail program's one-click request (RFC 8058) brings neither cookie nor token. So CSRF is not asked for.
    """

    @wraps(view)
    def guarded(request: HttpRequest, token: str, *args: Any, **kwargs: Any) -> HttpResponseBase:
        response = _answer(view, request, token, *args, **kwargs)
        # The address is the key: it must not travel in a Referer, a search index or a shared cache.
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
        response.headers["Cache-Control"] = "private, no-store"
        return response

    return login_not_required(csrf_exempt(guarded))


def _answer(
    view: CustomerView, request: HttpRequest, token: str, *args: Any, **kwargs: Any
) -> HttpResponseBase:
    if _too_many(request):
        response = render(request, "customer_page/too_many.html", status=HTTPStatus.TOO_MANY_REQUESTS)
        response.headers["Retry-After"] = str(_WINDOW)
        return response
    customer = customer_by_token(token)
    if customer is None:
        return _nothing_here(request)
    try:
        return view(request, customer, *args, **kwargs)
    except Http404:
        return _nothing_here(request)


def _nothing_here(request: HttpRequest) -> HttpResponse:
    return render(request, "customer_page/unknown.html", status=HTTPStatus.NOT_FOUND)


def _too_many(request: HttpRequest) -> bool:
    reads = request.method in {"GET", "HEAD"}
    window = int(time.time()) // _WINDOW
    # The window is part of the name because counting up renews a key's life in some caches.
    key = f"private-link:{'read' if reads else 'write'}:{get_adapter().get_client_ip(request)}:{window}"
    cache.add(key, 0, timeout=2 * _WINDOW)
    try:
        count = cache.incr(key)
    except ValueError:
        return False
    return count > (MOST_READS if reads else MOST_WRITES)
