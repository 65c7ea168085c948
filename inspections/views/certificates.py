"""Certificates: what each is, issuing one again, and withdrawing one."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from inspections.forms.certificates import ReissueForm, WithdrawForm
from inspections.models import Certificate
from inspections.queries.certificates import certificates_visible_to
from inspections.queries.recomputing import certificate_recompute
from inspections.services.certificates import certificate_issue, certificate_withdraw
from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.permissions import EVERYONE, SIGN_OFF, allow, signed_in
from jobs.queries.recomputing import pair_rows


@require_GET
@allow(*EVERYONE)
def certificate_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show whether a certificate counts, what it replaced and what replaced it; `pk` is its document's."""
    certificate = get_object_or_404(certificates_visible_to(signed_in(request)), document=pk)
    return _page(request, certificate)


@require_http_methods(["GET", "POST"])
@allow(*SIGN_OFF)
def certificate_reissue(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask why, then issue a new certificate in place of this one; `pk` is its document's."""
    user = signed_in(request)
    certificate = get_object_or_404(certificates_visible_to(user), document=pk)
    form = ReissueForm(request.POST or None)
    if form.is_valid():
        try:
            new = certificate_issue(
                sign_off=certificate.sign_off,
                by=user,
                now=timezone.now(),
                supersedes=certificate,
                reason=form.cleaned_data["reason"],
            )
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{new.serial} takes the place of {certificate.serial}.")
            return redirect("certificate_detail", new.document_id)
    return _page(request, certificate, form, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
@allow(*SIGN_OFF)
def certificate_withdraw_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask why, then withdraw a certificate; `pk` is its document's."""
    user = signed_in(request)
    certificate = get_object_or_404(certificates_visible_to(user), document=pk)
    form = WithdrawForm(request.POST or None)
    if form.is_valid():
        try:
            certificate_withdraw(
                certificate=certificate, by=user, reason=form.cleaned_data["reason"], now=timezone.now()
            )
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{certificate.serial} is withdrawn.")
            return redirect("certificate_detail", pk)
    return _page(request, certificate, withdraw=form, status=422 if form.is_bound else 200)


@require_GET
@allow(*EVERYONE)
def certificate_recompute_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Compute the plan behind a certificate once more and show it beside the stored one."""
    certificate = get_object_or_404(certificates_visible_to(signed_in(request)), document=pk)
    job = certificate.sign_off.record.job
    context: dict[str, Any] = {"certificate": certificate, "document": certificate.document, "job": job}
    try:
        recomputed = certificate_recompute(certificate)
    except JobsError as error:
        context["refusal"] = error.sentence
    else:
        system = job.installation.site.unit_system
        context |= {"recomputed": recomputed, "rows": pair_rows(recomputed.found, system)}
    return render(request, "inspections/recompute.html", context)


def _page(
    request: HttpRequest,
    certificate: Certificate,
    form: ReissueForm | None = None,
    withdraw: WithdrawForm | None = None,
    status: int = 200,
) -> HttpResponse:
    job = certificate.sign_off.record.job
    # The clock of the house, as on the paper itself.
    timezone.activate(ZoneInfo(job.installation.site.time_zone))
    context = {
        "certificate": certificate,
        "document": certificate.document,
        "mark": certificate.document.context.get("record_mark", ""),
        "job": job,
        "replacement": getattr(certificate, "superseded_by", None),
        "withdrawal": getattr(certificate, "withdrawal", None),
        "form": form,
        "withdraw": withdraw,
        "plan": certificate.sign_off.record.plan,
        "may_reissue": signed_in(request).may_sign_off,
    }
    return render(request, "inspections/certificate.html", context, status=status)
