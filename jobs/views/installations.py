"""Pages about installations."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from jobs.forms.sites import InstallationForm
from jobs.house_parts import house_parts
from jobs.models import Appliance, Chimney, Installation
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.queries.installations import documents_of, installations_visible_to, jobs_of_installation
from jobs.queries.sites import sites_visible_to
from jobs.queries.surveys import surveys_of
from jobs.services.sites import installation_save


@require_GET
@allow(*EVERYONE)
def installation_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an installation with its surveys, plans, jobs, services and papers."""
    user = signed_in(request)
    installation = get_object_or_404(installations_visible_to(user), pk=pk)
    jobs = jobs_of_installation(user, installation)
    today = timezone.localdate()
    context = {
        "installation": installation,
        "site": installation.site,
        "surveys": surveys_of(installation),
        "plans": installation.plans.select_related("made_by", "survey").defer("data"),
        "jobs": jobs,
        "services": [(one, one.is_overdue(today)) for one in installation.services.filter(ended_on=None)],
        "documents": documents_of(jobs),
        "house_parts": house_parts("top", installation, user),
        "more_parts": house_parts("installation", installation, user),
    }
    return render(request, "jobs/installation_detail.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def installation_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter what is, or will be, installed at a site."""
    site = get_object_or_404(sites_visible_to(signed_in(request)), pk=pk)
    form = InstallationForm(request.POST or None, instance=Installation(site=site))
    if form.is_valid():
        installation = installation_save(installation=form.instance)
        messages.success(request, "Entered. Next: the survey.")
        return redirect("installation_detail", installation.pk)
    context = {
        "form": form,
        "site": site,
        "heading": "New installation",
        "back": reverse("customer_detail", args=[site.customer_id]),
        "no_appliance": not Appliance.objects.exists(),
        "no_chimney": not Chimney.objects.exists(),
    }
    return render(request, "jobs/installation_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def installation_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change an installation's details."""
    installation = get_object_or_404(installations_visible_to(signed_in(request)), pk=pk)
    heading, site = installation.room, installation.site
    form = InstallationForm(request.POST or None, instance=installation)
    if form.is_valid():
        installation_save(installation=form.instance)
        messages.success(request, "Saved. Plans already made keep the listings they were made with.")
        return redirect("installation_detail", pk)
    context = {
        "form": form,
        "site": site,
        "heading": heading,
        "back": reverse("installation_detail", args=[pk]),
    }
    return render(request, "jobs/installation_form.html", context)
