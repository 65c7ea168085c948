"""What is kept about a customer: everything in one file, how long it is kept, and erasing it."""

from __future__ import annotations

from http import HTTPStatus

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inspections.forms.customers import EraseForm
from inspections.queries.erasing import customers_past_keeping, hindrances_of
from inspections.services.customer_exports import customer_export_request
from inspections.services.erasing import customer_erase
from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.models import CustomerExport, Role, Shop
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.customers import customers_visible_to
from jobs.queries.document_access import accesses_of_customer
from jobs.services.document_access import export_access_note

PAGE, LATEST = 50, 8


@require_GET
@allow(*BOOKS)
def customer_data(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what can be done about what is kept of one customer."""
    customer = get_object_or_404(customers_visible_to(signed_in(request)), pk=pk)
    now = timezone.now()
    context = {
        "customer": customer,
        "exports": customer.exports.select_related("asked_by"),
        "pending": customer.exports.filter(done_at=None, gave_up_at=None).exists(),
        "days": CustomerExport.KEPT.days,
        "accesses": accesses_of_customer(customer)[:LATEST],
        "hindrances": hindrances_of(customer, now),
        "erasure": customer.erasures.select_related("by").first(),
        "years": Shop.current().keep_years,
    }
    template = "exports.html" if request.htmx else "customer_data.html"  # type: ignore[attr-defined]
    return render(request, f"privacy/{template}", context)


@require_POST
@allow(*BOOKS)
def customer_export_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for everything about a customer in one file."""
    user = signed_in(request)
    customer = get_object_or_404(customers_visible_to(user), pk=pk)
    try:
        customer_export_request(customer=customer, by=user, now=timezone.now())
        messages.success(request, "It is being put together. The file stands below as soon as it is whole.")
    except JobsError as error:
        messages.error(request, error.sentence)
    return redirect("customer_data", pk)


@require_GET
@allow(*BOOKS)
def customer_export_file(request: HttpRequest, pk: int) -> HttpResponse | FileResponse:
    """Give out an export, and note who took it."""
    user = signed_in(request)
    visible = customers_visible_to(user)
    ready = CustomerExport.objects.filter(done_at__isnull=False, dropped_at=None, customer__in=visible)
    export = get_object_or_404(ready.exclude(file=""), pk=pk)
    try:
        opened = export.file.open("rb")
    except FileNotFoundError as error:
        raise Http404 from error
    export_access_note(export=export, by=user, now=timezone.now())
    name = f"customer-{export.customer_id}-{export.requested_at:%Y-%m-%d}.zip"
    response = FileResponse(opened, as_attachment=True, filename=name, content_type="application/zip")
    response["X-Content-Type-Options"] = "nosniff"
    return response


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def customer_erase_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what goes and what stays; ask why, and for the name; then erase."""
    user = signed_in(request)
    customer = get_object_or_404(customers_visible_to(user), pk=pk)
    if customer.erased_at is not None:
        return redirect("customer_data", pk)
    now = timezone.now()
    hindrances = hindrances_of(customer, now)
    form = EraseForm(request.POST or None, is_past=hindrances.is_past)
    if form.is_valid():
        try:
            customer_erase(
                customer=customer,
                by=user,
                reason=form.cleaned_data["reason"],
                name=form.cleaned_data["name"],
                override=form.cleaned_data.get("override", ""),
                now=now,
            )
        except JobsError as error:
            refuse(form, error, "name" if error.code == "name_differs" else None)
        else:
            messages.success(request, "Everything personal is erased. A worker removes the files now.")
            return redirect("customer_data", pk)
    context = {
        "customer": customer,
        "form": form,
        "hindrances": hindrances,
        "years": Shop.current().keep_years,
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "privacy/erase.html", context, status=status)


@require_GET
@allow(*BOOKS)
def keeping_list(request: HttpRequest) -> HttpResponse:
    """List the customers whose time of keeping has passed. Nobody is erased by itself."""
    page = Paginator(customers_past_keeping(timezone.now()), PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "years": Shop.current().keep_years}
    return render(request, "privacy/keeping.html", context)
