"""Pages about jobs."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.forms.jobs import JobForm, JobMoveForm, JobSearchForm, PlanChoiceForm
from jobs.house_parts import house_parts
from jobs.models import JobStatus
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.queries.documents import document_box
from jobs.queries.installations import installations_visible_to
from jobs.queries.jobs import job_row, jobs_found, jobs_visible_to, standing_visits
from jobs.queries.next_steps import may_cancel, next_steps, plan_is_open
from jobs.queries.plans import plan_objections
from jobs.services.jobs import job_create, job_move, job_plan

PER_PAGE = 25


@require_GET
@allow(*EVERYONE)
def job_list(request: HttpRequest) -> HttpResponse:
    """Find jobs; htmx gets the rows alone."""
    user, now = signed_in(request), timezone.now()
    form = JobSearchForm(request.GET, user=user)
    page = Paginator(jobs_found(user=user, search=form.search(), now=now), PER_PAGE).get_page(
        request.GET.get("page")
    )
    context = {"form": form, "page": page, "rows": [job_row(job, now) for job in page], "any": _any(request)}
    # Going back in the browser asks for the whole page again, also through htmx.
    part = request.htmx and not request.htmx.history_restore_request  # type: ignore[attr-defined]
    response = render(request, "jobs/job_rows.html" if part else "jobs/job_list.html", context)
    patch_vary_headers(response, ["HX-Request"])
    return response


def _any(request: HttpRequest) -> bool:
    return any(value for key, value in request.GET.items() if key != "page")


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def job_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Open a job at an installation."""
    user = signed_in(request)
    installation = get_object_or_404(installations_visible_to(user), pk=pk)
    form = JobForm(request.POST or None, installation=installation)
    if form.is_valid():
        try:
            job = job_create(installation=installation, by=user, now=timezone.now(), **form.cleaned_data)
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{job.number} is open.")
            return redirect("job_detail", job.pk)
    return render(request, "jobs/job_form.html", {"form": form, "installation": installation})


@require_GET
@allow(*EVERYONE)
def job_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show everything about a job, and what this person can do next."""
    user, now = signed_in(request), timezone.now()
    job = get_object_or_404(jobs_visible_to(user).prefetch_related(standing_visits()), pk=pk)
    plans = PlanChoiceForm(job=job) if plan_is_open(job, user) else None
    context = {
        "job": job,
        "row": job_row(job, now),
        "site": job.installation.site,
        "house_parts": house_parts("top", job.installation, user),
        "steps": next_steps(job, user),
        "may_cancel": may_cancel(job, user),
        "plan_form": plans if plans and plans.fields["plan"].queryset else None,  # type: ignore[attr-defined]
        "visits": job.visits.select_related("crew", "job__installation__site"),
        "permits": job.permits.all(),
        "objections": plan_objections(job.plan) if job.is_open else [],
        "box": document_box(job=job, user=user),
        "changes": job.status_changes.select_related("by"),
    }
    return render(request, "jobs/job_detail.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def job_move_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask why, then call a job off: the one change of status that does not follow from work."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    form = JobMoveForm(request.POST or None, initial={"to": JobStatus.CANCELLED})
    if form.is_valid():
        said = form.cleaned_data
        try:
            job_move(job=job, to=said["to"], by=user, now=timezone.now(), reason=said["reason"])
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{job.number} is cancelled.")
            return redirect("job_detail", job.pk)
    return render(request, "jobs/job_move.html", {"form": form, "job": job})


@require_POST
@allow(*BOOKS)
def job_plan_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Attach a plan to a job."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    form = PlanChoiceForm(request.POST, job=job)
    if not form.is_valid():
        messages.error(request, "Choose one of this installation's plans.")
        return redirect("job_detail", job.pk)
    plan = form.cleaned_data["plan"]
    try:
        job_plan(job=job, plan=plan, by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
    else:
        messages.success(request, f"Plan {plan.revision} is attached to {job.number}.")
    return redirect("job_detail", job.pk)
