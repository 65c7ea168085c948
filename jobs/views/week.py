"""The week: who goes where, and what still waits for a place."""

from __future__ import annotations

from datetime import date, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.http import require_http_methods

from jobs.errors import JobsError
from jobs.forms.visits import PlaceForm, place_initial
from jobs.models import Shop
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.jobs import jobs_to_schedule, jobs_visible_to
from jobs.queries.week import monday_of, week_rows
from jobs.services.visits import visit_schedule


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def week(request: HttpRequest) -> HttpResponse:
    """Show a week of visits and place waiting jobs into it."""
    user, now = signed_in(request), timezone.now()
    today = timezone.localdate(now)
    day = _day(request.GET.get("day", "")) or today
    monday = monday_of(day)
    waiting = jobs_to_schedule(jobs_visible_to(user))
    initial = place_initial(
        job=request.GET.get("job"), crew=request.GET.get("crew"),
        day=max(day, today) if "day" in request.GET else max(monday, today),
    )  # fmt: skip
    form = PlaceForm(request.POST or None, jobs=waiting, initial=initial)
    if form.is_valid():
        said = form.cleaned_data
        try:
            visit = visit_schedule(
                job=said["job"], crew=said["crew"], starts_at=said["starts_at"], ends_at=said["ends_at"],
                despite_clash=said["despite_clash"], by=user, now=now,
            )  # fmt: skip
        except JobsError as error:
            form.refuse(error)
        else:
            messages.success(request, f"{visit.crew} goes to {said['job'].number}.")
            return redirect(reverse("week") + f"?day={said['day']:%Y-%m-%d}")
    context = {
        "monday": monday,
        "sunday": monday + timedelta(days=6),
        "days": [monday + timedelta(days=n) for n in range(7)],
        "today": today,
        "before": monday - timedelta(days=7),
        "after": monday + timedelta(days=7),
        "rows": week_rows(monday=monday, zone=Shop.current().time_zone, now=now),
        "waiting": waiting,
        "chosen": str(form["job"].value() or ""),
        "form": form,
    }
    return render(request, "jobs/week.html", context)


def _day(text: str) -> date | None:
    try:
        day = parse_date(text)
    except ValueError:
        return None
    # The weeks around the first and last day a calendar knows cannot be shown.
    return day if day and date(2000, 1, 1) <= day <= date(2199, 12, 31) else None
