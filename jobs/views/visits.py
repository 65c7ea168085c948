"""Pages about visits."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.forms.visits import VisitCancelForm, VisitForm
from jobs.models import Visit
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.jobs import jobs_visible_to
from jobs.services.visits import visit_cancel, visit_edit, visit_schedule


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def visit_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Send a crew to a job."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    form = VisitForm(request.POST or None, job=job)
    if form.is_valid():
        said = form.cleaned_data
        try:
            visit_schedule(
                job=job, crew=said["crew"], starts_at=said["starts_at"], ends_at=said["ends_at"],
                note=said["note"], despite_clash=said["despite_clash"], by=user, now=timezone.now(),
            )  # fmt: skip
        except JobsError as error:
            form.refuse(error)
        else:
            messages.success(request, f"{said['crew']} goes to {job.number}.")
            return redirect("job_detail", job.pk)
    context = {"form": form, "job": job, "site": job.installation.site}
    return render(request, "jobs/visit_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def visit_edit_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a visit to another time or crew."""
    visit = _visit(request, pk)
    form = VisitForm(request.POST or None, job=visit.job, visit=visit)
    if form.is_valid():
        said = form.cleaned_data
        try:
            visit_edit(
                visit=visit, crew=said["crew"], starts_at=said["starts_at"], ends_at=said["ends_at"],
                note=said["note"], despite_clash=said["despite_clash"], now=timezone.now(),
            )  # fmt: skip
        except JobsError as error:
            form.refuse(error)
        else:
            messages.success(request, "The visit is changed.")
            return redirect("job_detail", visit.job_id)
    context = {"form": form, "job": visit.job, "site": visit.job.installation.site, "visit": visit}
    return render(request, "jobs/visit_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def visit_cancel_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then call a visit off."""
    visit = _visit(request, pk)
    form = VisitCancelForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            visit_cancel(
                visit=visit, by=signed_in(request), now=timezone.now(), reason=form.cleaned_data["reason"]
            )
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, "The visit is cancelled.")
            return redirect("job_detail", visit.job_id)
    return render(request, "jobs/visit_cancel.html", {"form": form, "visit": visit, "job": visit.job})


def _visit(request: HttpRequest, pk: int) -> Visit:
    visits = Visit.objects.select_related("crew", "job__installation__site__customer")
    return get_object_or_404(visits.filter(job__in=jobs_visible_to(signed_in(request))), pk=pk)
