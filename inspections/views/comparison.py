"""A visit compared with those before it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inspections.queries.comparison import comparison_of
from inspections.views.places import record_at
from jobs.permissions import EVERYONE, allow


@require_GET
@allow(*EVERYONE)
def record_compared(request: HttpRequest, pk: int) -> HttpResponse:
    """Show each part and each measured value beside what was found before."""
    record = record_at(request, pk)
    context = {
        "job": record.job,
        "site": record.job.installation.site,
        "compared": comparison_of(record),
    }
    return render(request, "inspections/compared.html", context)
