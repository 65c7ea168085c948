"""How often one address may ask for pages that need no login."""

from __future__ import annotations

import time
from http import HTTPStatus

from allauth.account.adapter import get_adapter
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

WINDOW = 60


def too_many(request: HttpRequest, *, name: str, most_reads: int, most_writes: int) -> bool:
    """Count a request for a group of pages; True when there were too many in a minute."""
    reads = request.method in {"GET", "HEAD"}
    window = int(time.time()) // WINDOW
    # The window is part of the name because counting up renews a key's life in some caches.
    key = f"{name}:{'read' if reads else 'write'}:{get_adapter().get_client_ip(request)}:{window}"
    cache.add(key, 0, timeout=2 * WINDOW)
    try:
        count = cache.incr(key)
    except ValueError:
        return False
    return count > (most_reads if reads else most_writes)


def too_many_page(request: HttpRequest, template: str) -> HttpResponse:
    """Return the page that asks for a minute's patience."""
    response = render(request, template, status=HTTPStatus.TOO_MANY_REQUESTS)
    response.headers["Retry-After"] = str(WINDOW)
    return response
