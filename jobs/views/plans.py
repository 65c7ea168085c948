"""Pages about plans."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from jobs.errors import JobsError
from jobs.margins_page import margins_of
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.plan_page import plan_page
from jobs.queries.jobs import jobs_visible_to
from jobs.queries.plans import jobs_for_plan, plan_read, plans_visible_to
from jobs.row_numbers import row_number
from jobs.services.jobs import job_plan


@require_GET
@allow(*EVERYONE)
def plan_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a plan: drawing, findings, limits with their sources, lists."""
    user = signed_in(request)
    plan = get_object_or_404(plans_visible_to(user), pk=pk)
    latest = plan.installation.plans.order_by("-revision").first()
    context = {
        "stored": plan,
        "page": plan_page(plan_read(plan)),
        "installation": plan.installation,
        "site": plan.installation.site,
        "latest": latest if latest != plan else None,
        "jobs": jobs_visible_to(user).filter(plan=plan),
        "waiting_jobs": jobs_for_plan(user, plan) if user.keeps_the_books else [],
    }
    return render(request, "jobs/plan_detail.html", context)


@require_GET
@allow(*EVERYONE)
def plan_margins(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far each measure may be off before a verdict of the plan turns."""
    plan = get_object_or_404(plans_visible_to(signed_in(request)), pk=pk)
    margins = margins_of(plan_read(plan))
    context = {
        "stored": plan,
        "installation": plan.installation,
        "site": plan.installation.site,
        "margins": margins.rows,
        "reach": margins.reach,
        "edition": margins.edition,
    }
    return render(request, "jobs/plan_margins.html", context)


@require_POST
@allow(*BOOKS)
def plan_attach(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a job of the installation this plan."""
    user = signed_in(request)
    plan = get_object_or_404(plans_visible_to(user), pk=pk)
    job = get_object_or_404(jobs_visible_to(user), pk=row_number(request.POST.get("job", "")))
    try:
        job_plan(job=job, plan=plan, by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("plan_detail", pk)
    messages.success(request, f"{job.number} has plan {plan.revision} now.")
    return redirect("job_detail", job.pk)
