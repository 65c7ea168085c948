"""Photo files, for those who may see the job."""

from __future__ import annotations

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.cache import get_conditional_response, patch_cache_control
from django.views.decorators.http import require_GET

from inspections.models import Photo
from inspections.queries.photos import photos_visible_to
from inspections.services.pictures import MEDIA_TYPES
from jobs.permissions import EVERYONE, allow, signed_in
from jobs.services.document_access import original_access_note

#: A picture opened by itself brings no style, no script and no frame.
_POLICY = "default-src 'none'; sandbox"


@require_GET
@allow(*EVERYONE)
def photo_file(request: HttpRequest, pk: int, size: str) -> HttpResponse | FileResponse:
    """Send a thumbnail, a print copy, or the original as it came from the camera."""
    user = signed_in(request)
    visible = photos_visible_to(user).select_related("job__installation__site")
    photo = get_object_or_404(visible, pk=pk)
    file, media_type = _file(photo, size)
    tag = f'"{photo.sha256}-{size}"'
    known = get_conditional_response(request, etag=tag)
    if known is not None:
        return known
    try:
        opened = file.open("rb")
    except FileNotFoundError as error:
        raise Http404 from error
    original = size == "original"
    if original:
        # Its copies stand on pages that are opened all day; what is read there is the page, not the picture.
        original_access_note(
            customer=photo.job.installation.site.customer_id,
            subject=f"Photo {photo.pk} of {photo.job.number}",
            sha256=photo.sha256,
            by=user,
            now=timezone.now(),
        )
    name = f"photo-{photo.pk}{'' if original else '-' + size}.{photo.extension if original else 'jpg'}"
    response = FileResponse(opened, as_attachment=original, filename=name, content_type=media_type)
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = _POLICY
    # A browser may keep it, but asks before each showing whether this person may still see it.
    response["ETag"] = tag
    patch_cache_control(response, private=True, no_cache=True)
    return response


@require_GET
@allow(*EVERYONE)
def photo_state(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photo, or that its copy is still being made; the page asks again until it is."""
    photo = get_object_or_404(photos_visible_to(signed_in(request)), pk=pk)
    return render(request, "inspections/photo.html", {"photo": photo})


def _file(photo: Photo, size: str) -> tuple[FieldFile, str]:
    if photo.is_erased:
        raise Http404
    if size == "original":
        return photo.original, MEDIA_TYPES[photo.extension]
    copy = photo.thumbnail if size == "thumbnail" else photo.print_copy
    if not copy:
        raise Http404
    return copy, "image/jpeg"
