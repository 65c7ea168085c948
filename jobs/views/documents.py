"""Papers: lists on the job's page, the files themselves, asking for them."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_POST

from jobs.errors import JobsError
from jobs.models import AccessWay, Document, Job
from jobs.permissions import EVERYONE, allow, signed_in
from jobs.queries.documents import PACK, RETRY, document_box, documents_visible_to, replacement_of
from jobs.queries.jobs import jobs_visible_to
from jobs.services.document_access import paper_access_note
from jobs.services.documents import document_content, document_retry
from jobs.services.house_papers import care_sheet_request, notice_plate_request
from jobs.services.work_pack import work_pack_request

#: The browser's own PDF viewer brings its style and its page; a paper brings nothing.
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'none'"


@require_GET
@allow(*EVERYONE)
def document_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a paper. One that was replaced says so first; `?old=yes` opens it all the same."""
    user = signed_in(request)
    visible = documents_visible_to(user).select_related("job__installation__site")
    document = get_object_or_404(visible, pk=pk)
    replacement = replacement_of(document)
    if replacement and request.GET.get("old") != "yes":
        context = {"document": document, "replacement": replacement, "job": document.job}
        return render(request, "jobs/document_replaced.html", context)
    try:
        response = pdf_response(document, replaced=replacement is not None)
    except JobsError as error:
        messages.error(request, error.sentence)
        return redirect("job_detail", document.job_id)
    paper_access_note(document=document, way=AccessWay.PAGE, by=user, now=timezone.now())
    return response


def pdf_response(document: Document, *, replaced: bool = False) -> HttpResponse:
    """Return a finished paper for the browser to show in place; refuse one that is missing or altered."""
    response = HttpResponse(document_content(document=document), content_type="application/pdf")
    name = f"{slugify(document.title)}{'-replaced' if replaced else ''}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    response["Content-Security-Policy"] = _POLICY
    response["X-Content-Type-Options"] = "nosniff"
    patch_cache_control(response, private=True, no_cache=True)
    return response


@require_GET
@allow(*EVERYONE)
def document_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Return the box of a job's papers, which asks for itself again while one is being made."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return _box(request, job)


@require_POST
@allow(*PACK)
def work_pack_request_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a new work pack."""
    user = signed_in(request)
    job = get_object_or_404(jobs_visible_to(user), pk=pk)
    return paper_asked(request, job, lambda: work_pack_request(job=job, by=user, now=timezone.now()))


@require_POST
@allow(*PACK)
def care_sheet_request_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the sheet on the care of what stands in a house."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return paper_asked(request, job, lambda: care_sheet_request(job=job, now=timezone.now()))


@require_POST
@allow(*PACK)
def notice_plate_request_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for the plate at a British hearth."""
    job = get_object_or_404(jobs_visible_to(signed_in(request)), pk=pk)
    return paper_asked(request, job, lambda: notice_plate_request(job=job, now=timezone.now()))


@require_POST
@allow(*RETRY)
def document_retry_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Try a paper that failed once more."""
    document = get_object_or_404(documents_visible_to(signed_in(request)).select_related("job"), pk=pk)
    return paper_asked(request, document.job, lambda: document_retry(document=document, now=timezone.now()))


def paper_asked(request: HttpRequest, job: Job, ask: Callable[[], object]) -> HttpResponse:
    """Ask for a paper, then show the job's papers again, with the refusal if there was one."""
    try:
        ask()
    except JobsError as error:
        return _back(request, job, error.sentence)
    return _back(request, job)


def _back(request: HttpRequest, job: Job, refusal: str = "") -> HttpResponse:
    if request.htmx:  # type: ignore[attr-defined]
        return _box(request, job, refusal)
    if refusal:
        messages.error(request, refusal)
    return redirect("job_detail", job.pk)


def _box(request: HttpRequest, job: Job, refusal: str = "") -> HttpResponse:
    box = document_box(job=job, user=signed_in(request), refusal=refusal)
    return render(request, "jobs/parts/documents.html", {"box": box})
