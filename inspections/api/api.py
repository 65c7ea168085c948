"""The tablet's API: its routes, its errors, its description."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from ninja import NinjaAPI

from inspections.api import PREFIX, bundles, entries, jobs, me, photos, refusals
from inspections.api.authentication import Session, TabletSession
from inspections.api.parser import StrictParser

api = NinjaAPI(
    title="Fluewright tablet",
    version="1",
    description=(
        "Jobs to take along, and what was entered on site. Every error is {code, sentence}. Unsafe methods"
        " repeat the cookie `csrftoken` in the header X-CSRFToken."
    ),
    urls_namespace="tablet-api",
    auth=TabletSession(),
    parser=StrictParser(),
    # A page about the API would be loaded from elsewhere.
    docs_url=None,
    openapi_url=None,
)
refusals.register(api)
for noun in (me, jobs, bundles, entries, photos):
    api.add_router("", noun.router)


@api.get("/openapi.json", auth=Session(), include_in_schema=False, url_name="tablet_openapi")
def openapi(request: HttpRequest) -> HttpResponse:
    """Describe the API."""
    return JsonResponse(described())


def described() -> dict[str, Any]:
    """Return the API's description in OpenAPI."""
    return dict(api.get_openapi_schema(path_prefix=PREFIX))
