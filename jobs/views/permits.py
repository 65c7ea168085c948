"""Permits of a job."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.forms.permits import PermitForm
from jobs.models import Job, Permit
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.jobs import jobs_visible_to
from jobs.services.permits import permit_save


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def permit_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a permit to a job."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return _permit(request, Permit(job=job), job)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def permit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a permit, for instance its outcome."""
    jobs = jobs_visible_to(signed_in(request))
    permit = get_object_or_404(Permit.objects.select_related("job").filter(job__in=jobs), pk=pk)
    return _permit(request, permit, permit.job)


def _permit(request: HttpRequest, permit: Permit, job: Job) -> HttpResponse:
    form = PermitForm(request.POST or None, instance=permit)
    if form.is_valid():
        try:
            permit_save(permit=form.save(commit=False))
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, "The permit is saved.")
            return redirect("job_detail", job.pk)
    return render(request, "jobs/permit_form.html", {"form": form, "job": job, "permit": permit})
