"""The customer's private page. No login: the link is the key."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.forms.customer_page import BookingForm
from jobs.models import AccessWay, Country, Customer, Installation
from jobs.private_link import by_link
from jobs.queries.customer_page import installation_views, installations_of, services_on_offer
from jobs.queries.documents import documents_for_customer
from jobs.services.document_access import paper_access_note
from jobs.services.documents import document_content
from jobs.services.letters import EMERGENCY_NUMBER
from jobs.services.reminders import reminders_start, reminders_stop
from jobs.services.wishes import booking_ask


@by_link
@require_safe
def customer_page(request: HttpRequest, customer: Customer) -> HttpResponse:
    """Show a customer's installations, papers, due dates, and how to ask for a visit."""
    views = installation_views(customer, timezone.now())
    fuels = {view.installation.appliance.fuel for view in views}
    numbers = {EMERGENCY_NUMBER[Country(view.installation.site.country)] for view in views}
    context = {
        "customer": customer,
        "views": views,
        "burns_wood": "wood" in fuels,
        "emergency_number": " or ".join(sorted(numbers)),
    }
    return render(request, "customer_page/page.html", context)


@by_link
@require_http_methods(["GET", "HEAD", "POST"])
def customer_book(request: HttpRequest, customer: Customer, pk: int) -> HttpResponse:
    """Ask for a visit to one installation."""
    installation = get_object_or_404(installations_of(customer), pk=pk)
    offered = services_on_offer(installation, timezone.now())
    form = BookingForm(request.POST or None, offered=offered)
    if offered and form.is_valid() and _asked(form, installation):
        return redirect("customer_page", customer.link_token)
    context = {"customer": customer, "installation": installation, "form": form, "offered": offered}
    return render(request, "customer_page/book.html", context)


@by_link
@require_http_methods(["GET", "HEAD", "POST"])
def customer_stop(request: HttpRequest, customer: Customer) -> HttpResponse:
    """Stop reminders: a visit only asks, a POST does it, answered without a redirect (RFC 8058, 3.1)."""
    if request.method == "POST":
        customer = reminders_stop(customer=customer, now=timezone.now())
    return render(request, "customer_page/stop.html", {"customer": customer})


@by_link
@require_POST
def customer_start(request: HttpRequest, customer: Customer) -> HttpResponse:
    """Remind again."""
    reminders_start(customer=customer)
    return redirect("customer_page", customer.link_token)


@by_link
@require_safe
def customer_document(request: HttpRequest, customer: Customer, pk: int) -> HttpResponse:
    """Give a customer one of the own papers."""
    paper = get_object_or_404(documents_for_customer(customer), pk=pk)
    try:
        content = document_content(document=paper)
    except JobsError:
        context: dict[str, Any] = {"customer": customer, "paper": paper}
        return render(request, "customer_page/no_paper.html", context, status=HTTPStatus.SERVICE_UNAVAILABLE)
    if request.method != "HEAD":
        paper_access_note(document=paper, way=AccessWay.PRIVATE_LINK, by=None, now=timezone.now())
    name = f"{paper.kind.replace(' ', '-')}-{paper.pk}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)


def _asked(form: BookingForm, installation: Installation) -> bool:
    try:
        booking_ask(
            installation=installation,
            services=form.cleaned_data["services"],
            wish=form.cleaned_data["wish"],
            now=timezone.now(),
        )
    except JobsError as error:
        refuse(form, error)
        return False
    return True
