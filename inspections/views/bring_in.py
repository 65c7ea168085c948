"""Where the desk brings in what a tablet could not send."""

from __future__ import annotations

from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspections.forms.bring_in import BringInForm
from inspections.queries.brought_rows import brought_rows, tally
from inspections.services.bring_in import unsent_bring_in
from jobs.errors import JobsError
from jobs.permissions import BOOKS, allow, signed_in

_PAGE = "inspections/bring_in.html"


@require_http_methods(["GET", "POST"])
@allow(*BOOKS)
def bring_in(request: HttpRequest) -> HttpResponse:
    """Take a file of unsent work and show what became of each entry."""
    if request.method == "GET":
        return render(request, _PAGE, {"form": BringInForm()})
    form = BringInForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, _PAGE, {"form": form}, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    try:
        brought = unsent_bring_in(
            content=form.cleaned_data["file"].read(), by=signed_in(request), now=timezone.now()
        )
    except JobsError as error:
        form.add_error("file", error.sentence)
        return render(request, _PAGE, {"form": form}, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    told = {
        "form": BringInForm(),
        "brought": brought,
        "rows": brought_rows(brought),
        "tally": tally(brought.entries),
    }
    return render(request, _PAGE, told)
