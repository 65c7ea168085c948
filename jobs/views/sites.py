"""Pages about sites."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs.forms.sites import SiteForm
from jobs.models import Customer, Shop, Site
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.customers import customers_visible_to
from jobs.queries.sites import sites_visible_to
from jobs.services.sites import site_save


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def site_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter a house of a customer."""
    customer = get_object_or_404(customers_visible_to(signed_in(request)), pk=pk)
    site = _new_site(customer)
    form = SiteForm(request.POST or None, instance=site, system=site.unit_system)
    if form.is_valid():
        site_save(site=form.instance)
        messages.success(request, f"{form.instance} is entered. Next: what is, or will be, installed there.")
        return redirect("customer_detail", pk)
    context = {
        "form": form,
        "customer": customer,
        "heading": "New site",
        "back": reverse("customer_detail", args=[pk]),
    }
    return render(request, "jobs/site_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def site_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a house's details."""
    site = get_object_or_404(sites_visible_to(signed_in(request)), pk=pk)
    heading, customer = str(site), site.customer
    form = SiteForm(request.POST or None, instance=site, system=site.unit_system)
    if form.is_valid():
        site_save(site=form.instance)
        messages.success(request, "Saved. Plans already made keep the rules and units they were made with.")
        return redirect("customer_detail", customer.pk)
    context = {
        "form": form,
        "customer": customer,
        "heading": heading,
        "back": reverse("customer_detail", args=[customer.pk]),
    }
    return render(request, "jobs/site_form.html", context)


def _new_site(customer: Customer) -> Site:
    """Return an unsaved site that takes country, units and clock from the shop's last one."""
    shop = Shop.current()
    last = Site.objects.order_by("-pk").first()
    site = Site(customer=customer, unit_system=shop.unit_system, time_zone=shop.time_zone)
    if last is not None:
        site.country, site.region = last.country, last.region
        site.unit_system, site.time_zone = last.unit_system, last.time_zone
    return site
