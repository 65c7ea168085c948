"""Guards the pages a customer opens by a private link instead of a login."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt

from jobs.permissions import View
from jobs.queries.customer_page import customer_by_token
from jobs.rate_limits import too_many, too_many_page

#: Requests one address may make in a minute.
MOST_READS = 120
MOST_WRITES = 20

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
    if too_many(request, name="private-link", most_reads=MOST_READS, most_writes=MOST_WRITES):
        return too_many_page(request, "customer_page/too_many.html")
    customer = customer_by_token(token)
    if customer is None:
        return _nothing_here(request)
    try:
        return view(request, customer, *args, **kwargs)
    except Http404:
        return _nothing_here(request)


def _nothing_here(request: HttpRequest) -> HttpResponse:
    return render(request, "customer_page/unknown.html", status=HTTPStatus.NOT_FOUND)
