"""What is due every year, and what customers ask for."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from jobs.errors import JobsError
from jobs.models import BookingRequest, Job, ServiceSchedule
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.services import SPANS, bookings_open, service_rows, services_due
from jobs.services.bookings import booking_make_job, booking_set_aside, service_book

PER_PAGE = 25
#: Tabs of the list as they are read.
SPAN_WORDS = (("overdue", "Overdue"), ("30", "Next 30 days"), ("90", "Next 90 days"), ("all", "All"))


@require_GET
@allow(*BOOKS)
def service_list(request: HttpRequest) -> HttpResponse:
    """Show what is overdue or due soon, and the customers' requests."""
    today = timezone.localdate()
    span = request.GET.get("span", "30")
    span = span if span in SPANS else "30"
    text = request.GET.get("q", "").strip()[:120]
    page = Paginator(services_due(today=today, span=span, text=text), PER_PAGE).get_page(
        request.GET.get("page")
    )
    context = {
        "page": page,
        "rows": service_rows(list(page), today=today),
        "bookings": bookings_open(),
        "span": span,
        "spans": SPAN_WORDS,
        "text": text,
    }
    return render(request, "jobs/service_list.html", context)


@require_POST
@allow(*BOOKS)
def service_job(request: HttpRequest, pk: int) -> HttpResponse:
    """Book the job of a due service."""
    service = get_object_or_404(ServiceSchedule, pk=pk)
    try:
        job = service_book(service=service, by=signed_in(request), now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("service_list")
    return _opened(request, job)


@require_POST
@allow(*BOOKS)
def booking_job(request: HttpRequest, pk: int) -> HttpResponse:
    """Make a job of a customer's request."""
    booking = get_object_or_404(BookingRequest, pk=pk)
    try:
        job = booking_make_job(booking=booking, by=signed_in(request), now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("service_list")
    return _opened(request, job)


@require_POST
@allow(*BOOKS)
def booking_aside(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark a customer's request as dealt with otherwise."""
    booking = get_object_or_404(BookingRequest, pk=pk)
    try:
        booking_set_aside(booking=booking, by=signed_in(request), now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
    else:
        messages.success(request, "The request is set aside.")
    return redirect("service_list")


def _opened(request: HttpRequest, job: Job) -> HttpResponse:
    messages.success(request, f"{job.number} is open. Schedule its visit now or place it in the week.")
    return redirect("job_detail", job.pk)
