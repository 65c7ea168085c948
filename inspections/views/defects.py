"""What is done about defects: grading them anew, opening a repair, telling the customer."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inspections.forms.entries import GradingForm, first_refusal
from inspections.models import Defect, DoNotUseNotice
from inspections.services.carrying import follow_up_open
from inspections.services.defects import defect_grade
from inspections.services.notices import notice_told
from inspections.views.places import record_at
from inspections.views.review import ANSWERABLE, review_render
from jobs.errors import JobsError
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.queries.installations import installations_visible_to


@require_POST
@allow(*ANSWERABLE)
def defect_grade_view(request: HttpRequest, pk: int, defect: int) -> HttpResponse:
    """Say anew how grave a defect is, and why."""
    record = record_at(request, pk)
    found = get_object_or_404(Defect.objects.filter(stage__record=record), pk=defect)
    form = GradingForm(request.POST)
    refusal = "" if form.is_valid() else first_refusal(form)
    if not refusal:
        try:
            graded = defect_grade(
                defect=found, by=signed_in(request), now=timezone.now(), **form.cleaned_data
            )
        except JobsError as error:
            refusal = error.sentence
    if refusal:
        told = {"graded_defect": found.pk, "grading_form": form, "grading_refusal": refusal}
        return review_render(request, record, status=422, **told)
    messages.success(request, f"Graded anew: {graded.get_severity_display().lower()}.")
    return redirect("record_review", pk)


@require_POST
@allow(*BOOKS)
def follow_up_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Open a repair for what is open at a stove and waits for none."""
    user = signed_in(request)
    installation = get_object_or_404(installations_visible_to(user), pk=pk)
    try:
        job = follow_up_open(installation=installation, by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("installation_detail", pk)
    messages.success(request, f"{job.number} is open. Next: a visit.")
    return redirect("job_detail", job.pk)


@require_POST
@allow(*EVERYONE)
def notice_told_view(request: HttpRequest, pk: int, notice: int) -> HttpResponse:
    """Note that the customer was handed a notice, or told it by telephone."""
    user = signed_in(request)
    installation = get_object_or_404(installations_visible_to(user), pk=pk)
    notices = DoNotUseNotice.objects.filter(defect__stage__record__job__installation=installation)
    try:
        notice_told(notice=get_object_or_404(notices, pk=notice), by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
    else:
        messages.success(request, "Noted that the customer was told.")
    return redirect("installation_detail", pk)
