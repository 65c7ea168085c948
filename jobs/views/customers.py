"""Pages about customers."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.forms.customers import CustomerForm
from jobs.links import customer_link
from jobs.models import Customer
from jobs.permissions import BOOKS, EVERYONE, allow, signed_in
from jobs.queries.customers import customer_sites, customers_found, customers_visible_to
from jobs.queries.installations import documents_of, jobs_of_customer, services_of
from jobs.services.customers import customer_link_renew, customer_save

PAGE = 50


@require_GET
@allow(*EVERYONE)
def customer_list(request: HttpRequest) -> HttpResponse:
    """List customers, found by any word of name, address, mail or phone."""
    user = signed_in(request)
    words = request.GET.get("q", "").strip()
    found = Paginator(customers_found(user, words), PAGE)
    page = found.get_page(request.GET.get("page"))
    # Going back in the browser asks for the whole page again, also through htmx.
    part = request.htmx and not request.htmx.history_restore_request  # type: ignore[attr-defined]
    template = "customer_rows.html" if part else "customer_list.html"
    response = render(request, f"jobs/{template}", {"page": page, "words": words})
    patch_vary_headers(response, ["HX-Request"])
    return response


@require_GET
@allow(*EVERYONE)
def customer_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a customer with everything that hangs on them."""
    user = signed_in(request)
    customer = get_object_or_404(customers_visible_to(user), pk=pk)
    jobs = jobs_of_customer(user, customer)
    today = timezone.localdate()
    context = {
        "customer": customer,
        "sites": customer_sites(user, customer),
        "jobs": jobs,
        "services": [(one, one.is_overdue(today)) for one in services_of(user, customer)],
        "documents": documents_of(jobs),
        "private_link": customer_link(customer) if user.keeps_the_books else "",
    }
    return render(request, "jobs/customer_detail.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def customer_add(request: HttpRequest) -> HttpResponse:
    """Enter a new customer."""
    form = CustomerForm(request.POST or None)
    if form.is_valid():
        customer = customer_save(customer=form.instance)
        messages.success(request, f"{customer} is entered. Next: the house.")
        return redirect("customer_detail", customer.pk)
    context = {"form": form, "heading": "New customer", "back": reverse("customer_list")}
    return render(request, "jobs/customer_form.html", context)


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def customer_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a customer's details."""
    customer = get_object_or_404(customers_visible_to(signed_in(request)), pk=pk)
    form = CustomerForm(request.POST or None, instance=customer)
    if form.is_valid():
        customer_save(customer=form.instance)
        messages.success(request, "Saved.")
        return redirect("customer_detail", pk)
    stored = Customer.objects.get(pk=pk)
    context = {"form": form, "heading": str(stored), "back": reverse("customer_detail", args=[pk])}
    return render(request, "jobs/customer_form.html", context)


@require_POST
@allow(*BOOKS)
def customer_link_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Close the customer's old private link and make a new one."""
    customer = get_object_or_404(customers_visible_to(signed_in(request)), pk=pk)
    customer_link_renew(customer=customer)
    messages.success(request, "The old link opens nothing any more. Send the customer the new one.")
    return redirect("customer_detail", pk)
