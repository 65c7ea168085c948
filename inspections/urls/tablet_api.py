"""Addresses of the tablet's API. Nobody is led to the sign-in page from here: a program asks."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import URLPattern, include, path, re_path
from django.views.decorators.csrf import csrf_exempt

from inspections.api.api import api
from inspections.api.refusals import no_such_address, refusal_of, wrong_method

View = Callable[..., HttpResponse]


def _in_json(view: View) -> View:
    """Have a wrong method told like every other refusal; who may ask is the API's own business."""

    @csrf_exempt
    @login_not_required
    @wraps(view)
    def answer(request: HttpRequest, **told: Any) -> HttpResponse:
        response = view(request, **told)
        if response.status_code != HTTPStatus.METHOD_NOT_ALLOWED:
            return response
        refused = refusal_of(wrong_method())
        refused["Allow"] = response["Allow"]
        return refused

    return answer


@csrf_exempt
@login_not_required
def nowhere(request: HttpRequest) -> HttpResponse:
    """Say that nothing answers here."""
    return refusal_of(no_such_address())


def _patterns() -> list[URLPattern]:
    routes = [one for one in api.urls[0] if isinstance(one, URLPattern) and one.name != "api-root"]
    return [URLPattern(one.pattern, _in_json(one.callback), one.default_args, one.name) for one in routes]


urlpatterns = [
    path("tablet/api/", include(_patterns())),
    re_path(r"^tablet/api(?:/.*)?$", nowhere, name="tablet_nowhere"),
]
