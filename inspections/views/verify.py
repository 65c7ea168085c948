"""The public page that says whether a certificate counts. No login: whoever holds the paper may ask."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from inspections.forms.verify import CodeForm, PaperForm
from inspections.models import Certificate
from inspections.queries.verification import certificate_by_key, public_view
from inspections.services.paper_checks import paper_check
from inspections.verify_codes import verify_code, verify_code_read
from jobs.models import AccessWay
from jobs.rate_limits import too_many, too_many_page
from jobs.services.document_access import paper_access_note

#: Requests one address may make in a minute. Reading a file costs a process of its own.
MOST_READS, MOST_FILES = 60, 10


def _open(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a view to everybody, a little at a time. It changes nothing, so a forged form gains nothing."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if too_many(request, name="verify", most_reads=MOST_READS, most_writes=MOST_FILES):
            response = too_many_page(request, "verify/too_many.html")
        else:
            response = view(request, *args, **kwargs)
        # The code is in the address: it must not travel in a Referer or end in a search index.
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
        response.headers["Cache-Control"] = "private, no-store"
        return response

    return login_not_required(csrf_exempt(guarded))


@_open
@require_http_methods(["GET", "HEAD", "POST"])
def verify(request: HttpRequest) -> HttpResponse:
    """Ask for a code or a file; a code leads to its certificate's page, a file is looked at here."""
    code = CodeForm(request.GET) if "code" in request.GET else CodeForm()
    if code.is_bound and code.is_valid():
        number, key = code.cleaned_data["code"]
        return redirect("verify_certificate", verify_code(Certificate(number=number).serial, key))
    return _page(request, "verify/ask.html", {"code_form": code})


@_open
@require_http_methods(["GET", "HEAD", "POST"])
def verify_certificate(request: HttpRequest, code: str) -> HttpResponse:
    """Say whether the certificate of this code counts; a file sent along is compared with it."""
    read = verify_code_read(code)
    certificate = certificate_by_key(*read) if read else None
    if certificate is None:
        return render(request, "verify/unknown.html", {"code_form": CodeForm()}, status=HTTPStatus.NOT_FOUND)
    return _page(request, "verify/certificate.html", {"view": public_view(certificate)}, certificate)


def _page(
    request: HttpRequest, template: str, context: dict[str, Any], asked_about: Certificate | None = None
) -> HttpResponse:
    sent = request.method == "POST"
    form = PaperForm(request.POST, request.FILES) if sent else PaperForm()
    context["form"] = form
    if sent and form.is_valid():
        finding = paper_check(content=form.cleaned_data["paper"], asked_about=asked_about)
        context["finding"] = finding
        context["form"] = PaperForm()
        if finding.certificate:
            paper = finding.certificate.document
            paper_access_note(document=paper, way=AccessWay.VERIFY, by=None, now=timezone.now())
        if finding.certificate and asked_about is None:
            context["view"] = public_view(finding.certificate)
    refused = context["form"].is_bound or ("code_form" in context and context["code_form"].is_bound)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if refused else HTTPStatus.OK
    return render(request, template, context, status=status)
