"""The inspector's page: the whole record, and what ends or reopens it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inspections.errors import InspectionsError
from inspections.forms.entries import ReturnForm, SignOffForm, WaiverForm, first_refusal
from inspections.models import Defect, SiteRecord
from inspections.queries.certificates import certificates_of
from inspections.queries.defect_rows import defect_rows
from inspections.queries.evidence_log import evidence_head_of
from inspections.queries.records import record_view
from inspections.services.answerable import answer_for
from inspections.services.defects import waiver_accept
from inspections.services.returns import record_return
from inspections.services.signoff import defects_to_carry, record_sign_off, sign_off_refusals
from inspections.views.places import SEVERITIES_SHOWN, record_at
from jobs.errors import JobsError
from jobs.house_parts import house_parts
from jobs.models import REPORTED, JobStatus, Role
from jobs.permissions import EVERYONE, allow, signed_in

#: An installer may answer for a record only in a one-person shop; the services say so.
ANSWERABLE = (Role.OWNER, Role.INSPECTOR, Role.INSTALLER)


@require_GET
@allow(*EVERYONE)
def record_review(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the whole record."""
    return review_render(request, record_at(request, pk))


@require_POST
@allow(*ANSWERABLE)
def waiver_add(request: HttpRequest, pk: int, defect: int) -> HttpResponse:
    """Accept a defect on somebody's authority, for a reason."""
    record = record_at(request, pk)
    found = get_object_or_404(Defect.objects.filter(stage__record=record), pk=defect)
    form = WaiverForm(request.POST)
    if not form.is_valid():
        return review_render(request, record, status=422, refused_defect=found.pk, waiver_form=form,
                       waiver_refusal=first_refusal(form))  # fmt: skip
    try:
        waiver_accept(defect=found, by=signed_in(request), now=timezone.now(), **form.cleaned_data)
    except JobsError as error:
        return review_render(request, record, status=422, refused_defect=found.pk, waiver_form=form,
                       waiver_refusal=error.sentence)  # fmt: skip
    messages.success(request, "The waiver is kept. The certificate prints it with its authority and reason.")
    return redirect("record_review", pk)


@require_POST
@allow(*ANSWERABLE)
def record_return_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Send stages back to the crew."""
    record = record_at(request, pk)
    titles = [(stage.key, stage.title) for stage in record_view(record).stages]
    form = ReturnForm(request.POST, stages=titles)
    if not form.is_valid():
        told = {"return_refusal": first_refusal(form), "sent_back": request.POST}
        return review_render(request, record, status=422, **told)
    try:
        record_return(record=record, by=signed_in(request), now=timezone.now(), **form.cleaned_data)
    except JobsError as error:
        return review_render(
            request, record, status=422, return_refusal=error.sentence, sent_back=request.POST
        )
    messages.success(request, "Sent back to the crew. The stages are open again and must be signed again.")
    return redirect("record_review", pk)


@require_POST
@allow(*ANSWERABLE)
def record_sign_off_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Sign the whole record and close the job."""
    record = record_at(request, pk)
    form = SignOffForm(request.POST)
    kept = {"strokes": request.POST.get("strokes", ""), "remarks": request.POST.get("remarks", "")}
    if not form.is_valid():
        return review_render(request, record, status=422, sign_refusal=first_refusal(form), **kept)
    try:
        record_sign_off(record=record, by=signed_in(request), now=timezone.now(), **form.cleaned_data)
    except JobsError as error:
        return review_render(request, record, status=422, sign_refusal=error.sentence, **kept)
    paper = "report" if record.job.kind in REPORTED else "certificate"
    messages.success(request, f"{record.job.number} is closed. The {paper} is being made.")
    return redirect("job_detail", pk)


def review_render(
    request: HttpRequest, record: SiteRecord, *, status: int = 200, **extra: Any
) -> HttpResponse:
    """Render the whole record; `extra` brings back what was sent and refused."""
    view, job, user = record_view(record), record.job, signed_in(request)
    may_answer, own_work, why_not = True, False, ""
    try:
        own_work = answer_for(record=record, by=user)
    except InspectionsError as error:
        may_answer, why_not = False, error.sentence
    is_open = job.status in {JobStatus.ON_SITE, JobStatus.READY}
    context = {
        "job": job,
        "site": job.installation.site,
        "view": view,
        "refusals": sign_off_refusals(view, job),
        "defect_rows": defect_rows(view),
        "carrying": defects_to_carry(view) if is_open else [],
        "severities": SEVERITIES_SHOWN,
        "house_parts": house_parts("top", job.installation, user),
        "permits": job.permits.all(),
        "evidence": evidence_head_of(job),
        "reported": job.kind in REPORTED,
        "may_answer": may_answer and is_open,
        "may_look": may_answer,
        "to_look_at": [late for late in view.late if not late.entry.is_looked_at],
        "why_not": why_not if is_open and user.role != Role.OFFICE else "",
        "own_work": own_work,
        "may_report": is_open and user.may_sign_off,
        "certificates": certificates_of(record),
        "may_reopen": may_answer and job.status == JobStatus.CLOSED,
        **extra,
    }
    return render(request, "inspections/review.html", context, status=status)
