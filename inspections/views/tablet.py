"""The tablet's app: a shell that is the same for everybody and holds nothing of anybody."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

from inspections.tablet_shell import shell
from jobs.models import Shop

SOOT, ASH = "#1f2a30", "#f4f1ea"
#: Asked for anew each time: a tablet keeps the shell by its own worker, never by chance.
ANEW = "no-cache"


@login_not_required
@require_safe
def tablet(request: HttpRequest) -> HttpResponse:
    """Show the app's shell, the same bytes for everybody."""
    kept = shell()
    response = HttpResponse(kept.page, headers={"Cache-Control": ANEW, "Fluewright-Shell": kept.version})
    response.script_source = kept.import_map_hash  # type: ignore[attr-defined]
    return response


@login_not_required
@require_safe
def tablet_service_worker(request: HttpRequest) -> HttpResponse:
    """Serve the worker with the list of the files it keeps."""
    return HttpResponse(
        shell().worker, content_type="text/javascript; charset=utf-8", headers={"Cache-Control": ANEW}
    )


@login_not_required
@require_safe
def tablet_manifest(request: HttpRequest) -> HttpResponse:
    """Say how the app is put on a tablet's home screen."""
    place = reverse("tablet")
    icons = [{"src": static("images/mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}]
    icons += [
        {
            "src": static(f"images/{name}-{size}.png"),
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size in (192, 512)
        for name, purpose in (("icon", "any"), ("icon-maskable", "maskable"))
    ]
    return JsonResponse(
        {
            "id": place,
            "name": f"{Shop.current().name}: site work",
            "short_name": "Site work",
            "description": "Jobs, plans and records on site, with and without a signal.",
            "start_url": place,
            "scope": place,
            "display": "standalone",
            "orientation": "any",
            "background_color": ASH,
            "theme_color": SOOT,
            "icons": icons,
        },
        content_type="application/manifest+json",
        headers={"Cache-Control": ANEW},
    )
