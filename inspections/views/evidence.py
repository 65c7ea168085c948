"""A job's evidence log, to read and to hand on."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inspections.queries.evidence_log import FORMAT, event_view, events_of, evidence_head_of, evidence_lines
from inspections.views.places import record_at
from jobs.permissions import EVERYONE, allow

PER_PAGE = 50


@require_GET
@allow(*EVERYONE)
def record_evidence(request: HttpRequest, pk: int) -> HttpResponse:
    """List the events of a job's chain."""
    job = record_at(request, pk).job
    page = Paginator(events_of(job), PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "job": job,
        "site": job.installation.site,
        "head": evidence_head_of(job),
        "page": page,
        "events": [event_view(event) for event in page],
    }
    return render(request, "inspections/evidence.html", context)


@require_GET
@allow(*EVERYONE)
def record_evidence_file(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """Send the chain as lines of JSON, for whoever verifies it without this program."""
    job = record_at(request, pk).job
    lines = (f"{line}\n".encode() for line in evidence_lines(job))
    response = StreamingHttpResponse(lines, content_type=FORMAT)
    response["Content-Disposition"] = f'attachment; filename="{job.number}-evidence.jsonl"'
    response["X-Content-Type-Options"] = "nosniff"
    return response
