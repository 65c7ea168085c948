"""Opening a closed job again: what it does in plain words, then doing it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspections.errors import InspectionsError
from inspections.forms.entries import ReopenForm, first_refusal
from inspections.models import SiteRecord
from inspections.queries.certificates import certificates_of
from inspections.queries.records import record_view
from inspections.services.answerable import answer_for
from inspections.services.reopening import record_reopen
from inspections.views.places import record_at
from inspections.views.review import ANSWERABLE
from jobs.errors import JobsError
from jobs.models import JobStatus
from jobs.permissions import allow, signed_in


@require_http_methods(["GET", "POST"])
@allow(*ANSWERABLE)
def record_reopen_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what reopening does and ask why and which stages, then open the job again."""
    record = record_at(request, pk)
    if request.method != "POST":
        return _page(request, record)
    titles = [(stage.key, stage.title) for stage in record_view(record).stages]
    form = ReopenForm(request.POST, stages=titles)
    if not form.is_valid():
        return _page(request, record, refusal=first_refusal(form))
    try:
        record_reopen(record=record, by=signed_in(request), now=timezone.now(), **form.cleaned_data)
    except JobsError as error:
        return _page(request, record, refusal=error.sentence)
    messages.success(
        request,
        f"{record.job.number} is on site again. The next sign-off issues a new certificate.",
    )
    return redirect("job_detail", pk)


def _page(request: HttpRequest, record: SiteRecord, *, refusal: str = "") -> HttpResponse:
    view, job = record_view(record), record.job
    why_not = ""
    try:
        answer_for(record=record, by=signed_in(request))
    except InspectionsError as error:
        why_not = error.sentence
    if job.status != JobStatus.CLOSED:
        why_not = f"{job.number} is {job.get_status_display().lower()}: only a closed job is reopened."
    context = {
        "job": job,
        "view": view,
        "certificate": certificates_of(record).filter(superseded_by=None, withdrawal=None).first(),
        "why_not": why_not,
        "refusal": "" if why_not else refusal,
        "reason": request.POST.get("reason", ""),
        "chosen": request.POST.getlist("stages"),
    }
    # Only what was sent and not taken is answered with 422.
    status = 422 if request.method == "POST" else 200
    return render(request, "inspections/reopen.html", context, status=status)
