"""One late entry: what it is, and the look of somebody answerable."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspections.checklists import checklist_get
from inspections.forms.entries import LookForm, first_refusal
from inspections.models import Defect, SiteRecord, TabletEntry
from inspections.queries.late_entries import LateView, late_entries_visible_to, late_view
from inspections.services.late_entries import late_entry_check, late_entry_look
from jobs.errors import JobsError
from jobs.models import Role
from jobs.permissions import allow, signed_in


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER, Role.INSPECTOR, Role.INSTALLER)
def late_entry_look_view(request: HttpRequest, pk: int, entry: int) -> HttpResponse:
    """Show a late entry, or keep that somebody looked at it and what follows from it."""
    visible = late_entries_visible_to(signed_in(request)).select_related("job__installation__site__customer")
    found = get_object_or_404(visible, job=pk, pk=entry)
    timezone.activate(ZoneInfo(found.job.installation.site.time_zone))
    if request.method == "GET":
        return _page(request, found)
    form = LookForm(request.POST)
    note = request.POST.get("note", "")
    if not form.is_valid():
        return _page(request, found, note, first_refusal(form))
    try:
        late_entry_look(
            entry=found, by=signed_in(request), note=form.cleaned_data["note"], now=timezone.now()
        )
    except JobsError as error:
        return _page(request, found, note, error.sentence)
    messages.success(request, "Kept: you have looked at this entry.")
    begun = SiteRecord.objects.filter(job=pk).exists()
    return redirect("record_review", pk) if begun else redirect("late_entry_look", pk, entry)


def _page(request: HttpRequest, entry: TabletEntry, note: str = "", refusal: str = "") -> HttpResponse:
    record = SiteRecord.objects.filter(job=entry.job).first()
    why_not = ""
    try:
        late_entry_check(entry=entry, by=signed_in(request))
    except JobsError as error:
        why_not = error.sentence
    context = {
        "job": entry.job,
        "site": entry.job.installation.site,
        "record": record,
        "late": _view(entry, record),
        "may_look": not why_not,
        "why_not": why_not,
        "note": note,
        "look_refusal": refusal,
    }
    return render(request, "inspections/late_entry.html", context, status=422 if refusal else 200)


def _view(entry: TabletEntry, record: SiteRecord | None) -> LateView:
    if record is None:
        return late_view(entry, None)
    checklist = checklist_get(record.checklist, record.checklist_version)
    defects = list(Defect.objects.filter(stage__record=record))
    return late_view(entry, checklist.in_units(entry.job.installation.site.unit_system), defects)
