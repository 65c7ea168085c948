"""Who opened a customer's papers and photos."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from jobs.models import Customer, Document, DocumentAccess, Shop
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.customers import customers_visible_to
from jobs.queries.document_access import accesses_of_customer, accesses_of_document
from jobs.queries.documents import documents_visible_to

PAGE = 50


@require_GET
@allow(*BOOKS)
def customer_accesses(request: HttpRequest, pk: int) -> HttpResponse:
    """List who opened what of one customer."""
    customer = get_object_or_404(customers_visible_to(signed_in(request)), pk=pk)
    return _page(request, accesses_of_customer(customer), customer)


@require_GET
@allow(*BOOKS)
def document_accesses(request: HttpRequest, pk: int) -> HttpResponse:
    """List who opened one paper."""
    visible = documents_visible_to(signed_in(request)).select_related("job__installation__site__customer")
    document = get_object_or_404(visible, pk=pk)
    customer = document.job.installation.site.customer
    return _page(request, accesses_of_document(document), customer, document)


def _page(
    request: HttpRequest,
    accesses: QuerySet[DocumentAccess],
    customer: Customer,
    document: Document | None = None,
) -> HttpResponse:
    page = Paginator(accesses, PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "customer": customer,
        "document": document,
        "years": Shop.current().access_log_years,
    }
    return render(request, "jobs/accesses.html", context)
