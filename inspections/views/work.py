"""Site work: the way through the stages, and one stage at a time."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inspections.models import SiteRecord
from inspections.queries.crews import works_on
from inspections.queries.forecast import forecast
from inspections.queries.limits import plan_of
from inspections.queries.plan_sheet import plan_sheet
from inspections.queries.records import record_view
from inspections.services.records import record_begin
from inspections.views.places import stage_at
from jobs.errors import JobsError
from jobs.house_parts import house_parts
from jobs.models import Job, JobStatus
from jobs.permissions import EVERYONE, SITE_WORK, allow, signed_in
from jobs.queries.jobs import jobs_visible_to
from jobs.queries.plans import plan_objections


@require_GET
@allow(*EVERYONE)
def work(request: HttpRequest, pk: int) -> HttpResponse:
    """Show every stage as it stands, or what to know before the work begins."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    record = SiteRecord.objects.filter(job=job).select_related("job__installation__site", "plan").first()
    context: dict[str, Any] = {
        "objections": plan_objections(job.plan) if record is None else [],
        "job": job,
        "site": job.installation.site,
        "crew": works_on(user, job),
        "house_parts": house_parts("top", job.installation, user),
        "sheet": plan_sheet((record.plan if record else None) or plan_of(job)),
    }
    if record is None:
        return render(request, "inspections/begin.html", {**context, **_beginning(job)})
    view = record_view(record)
    context["view"] = view
    context["go_on"] = next((stage for stage in view.stages if not stage.signed), None)
    return render(request, "inspections/work.html", context)


def _beginning(job: Job) -> dict[str, Any]:
    ready = job.status == JobStatus.SCHEDULED
    try:
        return {"ready": ready, "forecast": forecast(job)}
    except JobsError as error:
        return {"ready": False, "refusal": error.sentence}


@require_POST
@allow(*SITE_WORK)
def record_begin_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin the site work of a job and go to its first stage."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    try:
        record = record_begin(job=job, by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("work", job.pk)
    first = record.stages.order_by("position").values_list("key", flat=True)[0]
    return redirect("stage", job.pk, first)


@require_GET
@allow(*EVERYONE)
def stage_page(request: HttpRequest, pk: int, key: str) -> HttpResponse:
    """Show one stage."""
    return stage_render(request, pk, key)


def stage_render(request: HttpRequest, pk: int, key: str, *, status: int = 200, **extra: Any) -> HttpResponse:
    """Render a stage's page; `extra` brings back what was sent and refused."""
    place = stage_at(request, pk, key)
    sheet = plan_sheet(place.view.record.plan or plan_of(place.job))
    told = place.view.checklist.stage(key)
    context = {
        **place.context(),
        "cards": place.cards(),
        "sheet": sheet,
        "plan_says": sheet.says(told.plan_says) if sheet and told else (),
        **extra,
    }
    return render(request, "inspections/stage.html", context, status=status)
