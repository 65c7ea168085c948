"""The mail that leaves the shop."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from jobs.errors import JobsError
from jobs.models import MailState, OutgoingMail
from jobs.permissions import BOOKS, allow, signed_in
from jobs.queries.mail import mail_counts, mail_rows, mails_found
from jobs.services.mail import mail_mark_sent, mail_resend

PER_PAGE = 25


@require_GET
@allow(*BOOKS)
def mail_list(request: HttpRequest) -> HttpResponse:
    """List mails with what has become of each."""
    now = timezone.now()
    state = request.GET.get("state", "")
    state = state if state in MailState.values else ""
    words = request.GET.get("q", "").strip()[:120]
    page = Paginator(mails_found(state=state, words=words, now=now), PER_PAGE).get_page(
        request.GET.get("page")
    )
    context = {
        "page": page,
        "rows": mail_rows(list(page), now),
        "counts": mail_counts(now),
        "state": state,
        "words": words,
    }
    return render(request, "mail/list.html", context)


@require_GET
@allow(*BOOKS)
def mail_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one mail: what it says and how it fared."""
    mail = get_object_or_404(OutgoingMail, pk=pk)
    context = {
        "row": mail_rows([mail], timezone.now())[0],
        "reminders": mail.reminders.select_related("installation__site__customer"),
    }
    return render(request, "mail/detail.html", context)


@require_POST
@allow(*BOOKS)
def mail_send_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Have a mail sent again."""
    return _decide(request, pk, mail_resend, "The mail is queued again.")


@require_POST
@allow(*BOOKS)
def mail_sent(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a mail in doubt as sent."""
    return _decide(request, pk, mail_mark_sent, "The mail is marked as sent.")


def _decide(request: HttpRequest, pk: int, decide: Callable[..., None], done: str) -> HttpResponse:
    mail = get_object_or_404(OutgoingMail, pk=pk)
    try:
        decide(mail=mail, by=signed_in(request), now=timezone.now())
    except JobsError as error:
        messages.error(request, error.sentence)
    else:
        messages.success(request, done)
    return redirect("mail_detail", mail.pk)
