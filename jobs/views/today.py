"""Where everybody lands."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.panels import panels_for
from jobs.permissions import EVERYONE, allow, signed_in


@require_GET
@allow(*EVERYONE)
def today(request: HttpRequest) -> HttpResponse:
    """Show what is somebody's to do."""
    now = timezone.now()
    panels = panels_for(signed_in(request), now)
    return render(request, "jobs/today.html", {"panels": panels, "day": timezone.localdate(now)})
