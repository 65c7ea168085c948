"""The bundle of one job."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from ninja import Router

from inspections.api.authentication import HEADERS, user_of
from inspections.api.places import job_at
from inspections.api.refusals import REFUSED
from inspections.queries.bundle_shape import Bundle
from inspections.queries.bundles import bundle_of, bundle_tag

router = Router()


@router.get(
    "/jobs/{row:job}/bundle",
    response={200: Bundle, 304: None, **REFUSED},
    url_name="tablet_bundle",
    summary="Everything of one job",
    openapi_extra=HEADERS,
)
def bundle(request: HttpRequest, job: int) -> HttpResponse:
    """Give a job's bundle, or say that the one the tablet has is still right."""
    user = user_of(request)
    told = bundle_of(job_at(user, job), user, timezone.now())
    tag = bundle_tag(told)
    whole = HttpResponse(
        told.model_dump_json(by_alias=True), content_type="application/json", headers={"ETag": tag}
    )
    return get_conditional_response(request, etag=tag, response=whole) or whole
