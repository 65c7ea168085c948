"""Pages about surveys."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.errors import JobsError
from jobs.forms.survey_pages import SurveyPage
from jobs.models import Installation
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.queries.installations import installations_visible_to
from jobs.queries.surveys import survey_draft, surveys_visible_to
from jobs.services.plans import plan_make
from jobs.services.surveys import survey_plan
from jobs.survey_words import survey_words


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def survey_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure a house: every save is a new survey with its plan."""
    user = signed_in(request)
    installation = get_object_or_404(installations_visible_to(user), pk=pk)
    page = SurveyPage(survey_draft(installation), request.POST or None)
    if request.method == "POST" and page.is_valid:
        plan = survey_plan(
            installation=installation,
            values=page.values(),
            as_typed=page.typed(),
            by=user,
            now=timezone.now(),
        )
        messages.success(
            request, f"Survey {plan.survey.revision} is kept and plan {plan.revision} made from it."
        )
        if page.overtaken_by(plan.survey.revision):
            messages.warning(
                request,
                "Somebody saved another survey of this installation while you were typing. Both are kept; "
                "compare them before you go on.",
            )
        return redirect("plan_detail", plan.pk)
    status = 422 if request.method == "POST" else 200
    return render(request, "jobs/survey_form.html", _context(page, installation), status=status)


@require_POST
@allow(*BOOKS)
def survey_preview(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the plan of what is typed so far. Nothing is stored.

    While something is not understood the last plan stays, and the sentences go beside their fields.
    """
    installation = get_object_or_404(installations_visible_to(signed_in(request)), pk=pk)
    page = SurveyPage(survey_draft(installation), request.POST)
    if page.is_valid:
        return render(request, "jobs/survey_preview.html", {**_context(page, installation), "live": True})
    response = render(request, "jobs/survey_live.html", {**_context(page, installation), "live": True})
    response.headers["HX-Reswap"] = "none"
    return response


@require_GET
@allow(*EVERYONE)
def survey_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what was measured in one revision, as it was typed."""
    survey = get_object_or_404(surveys_visible_to(signed_in(request)), pk=pk)
    context = {
        "survey": survey,
        "installation": survey.installation,
        "sections": survey_words(survey),
        "others": survey.installation.surveys.order_by("-revision"),
        "plans": survey.plans.order_by("-revision"),
    }
    return render(request, "jobs/survey_detail.html", context)


@require_POST
@allow(*BOOKS)
def survey_replan(request: HttpRequest, pk: int) -> HttpResponse:
    """Make another plan from a stored survey, with the listings and rules as they are now."""
    user = signed_in(request)
    survey = get_object_or_404(surveys_visible_to(user), pk=pk)
    try:
        plan = plan_make(survey=survey, by=user, now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("survey_detail", pk)
    messages.success(request, f"Plan {plan.revision} is made from survey {survey.revision}.")
    return redirect("plan_detail", plan.pk)


def _context(page: SurveyPage, installation: Installation) -> dict[str, Any]:
    return {
        "page": page,
        "installation": installation,
        "site": installation.site,
        "back": reverse("installation_detail", args=[installation.pk]),
    }
