"""Asking for the papers that rest on a certificate: the label at the flue, and the hand-over pack."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST

from inspections.services.hand_over import flue_label_request, hand_over_request
from jobs.permissions import allow, signed_in
from jobs.queries.documents import PACK
from jobs.queries.jobs import jobs_visible_to
from jobs.views.documents import paper_asked


@require_POST
@allow(*PACK)
def flue_label_request_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the label of a flue that was installed or changed."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return paper_asked(request, job, lambda: flue_label_request(job=job, now=timezone.now()))


@require_POST
@allow(*PACK)
def hand_over_request_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a new hand-over pack."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return paper_asked(request, job, lambda: hand_over_request(job=job, now=timezone.now()))
