"""Pages about listing data."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from jobs.errors import JobsError
from jobs.forms.appliances import ApplianceForm
from jobs.forms.chimneys import ChimneyForm, section_formset
from jobs.forms.controls import refuse
from jobs.models import Appliance, Chimney, Shop
from jobs.permissions import BOOKS, EVERYONE, allow
from jobs.queries.listings import appliance_gaps, chimney_gaps
from jobs.services.listings import appliance_save, chimney_save


@require_GET
@allow(*EVERYONE)
def appliance_list(request: HttpRequest) -> HttpResponse:
    """List the appliances whose sheets are entered."""
    rows = [(one, bool(appliance_gaps(one))) for one in Appliance.objects.all()]
    return render(request, "jobs/appliance_list.html", {"rows": rows, "system": Shop.current().unit_system})


@require_GET
@allow(*EVERYONE)
def chimney_list(request: HttpRequest) -> HttpResponse:
    """List the chimney systems whose sheets are entered."""
    rows = [(one, bool(chimney_gaps(one))) for one in Chimney.objects.prefetch_related("sections")]
    return render(request, "jobs/chimney_list.html", {"rows": rows, "system": Shop.current().unit_system})


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def appliance_add(request: HttpRequest) -> HttpResponse:
    """Enter an appliance's sheet."""
    return _appliance(request, Appliance(), "New appliance")


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def appliance_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct or complete an appliance's sheet."""
    appliance = get_object_or_404(Appliance, pk=pk)
    return _appliance(request, appliance, str(appliance))


def _appliance(request: HttpRequest, appliance: Appliance, heading: str) -> HttpResponse:
    gaps = appliance_gaps(appliance) if appliance.pk else None
    form = ApplianceForm(request.POST or None, instance=appliance, system=Shop.current().unit_system)
    if form.is_valid():
        saved = appliance_save(appliance=form.instance)
        messages.success(
            request, f"{saved} is saved. Plans already made keep the figures they were made with."
        )
        return redirect("appliance_edit", saved.pk)
    context = {"form": form, "heading": heading, "gaps": gaps, "back": reverse("appliance_list")}
    return render(request, "jobs/appliance_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def chimney_add(request: HttpRequest) -> HttpResponse:
    """Enter a chimney system's sheet."""
    return _chimney(request, Chimney(), "New chimney")


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def chimney_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct or complete a chimney system's sheet."""
    chimney = get_object_or_404(Chimney, pk=pk)
    return _chimney(request, chimney, str(chimney))


def _chimney(request: HttpRequest, chimney: Chimney, heading: str) -> HttpResponse:
    gaps = chimney_gaps(chimney) if chimney.pk else None
    system = Shop.current().unit_system
    form = ChimneyForm(request.POST or None, instance=chimney, system=system)
    rows = section_formset(chimney, system, request.POST or None)
    if request.method == "POST" and form.is_valid() and rows.is_valid():
        sections = rows.save(commit=False)
        try:
            saved = chimney_save(chimney=form.instance, sections=sections, removed=rows.deleted_objects)
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(
                request, f"{saved} is saved. Plans already made keep the figures they were made with."
            )
            return redirect("chimney_edit", saved.pk)
    context = {"form": form, "rows": rows, "heading": heading, "gaps": gaps, "back": reverse("chimney_list")}
    return render(request, "jobs/chimney_form.html", context)
