"""Pages about the rule books: every figure with its source."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from calcs.rulebook import codes
from jobs.permissions import EVERYONE, allow
from jobs.rule_page import book_cards, book_page, rules_found


@require_GET
@allow(*EVERYONE)
def rule_books(request: HttpRequest) -> HttpResponse:
    """Choose a rule book, or look for words in all of them."""
    text = request.GET.get("q", "").strip()
    context = {"books": book_cards(), "text": text, "found": rules_found(text) if text else []}
    return render(request, "jobs/rule_books.html", context)


@require_GET
@allow(*EVERYONE)
def rule_book(request: HttpRequest, code: str) -> HttpResponse:
    """Show a rule book, a part of it, or one rule with what the other books say."""
    if code not in codes():
        raise Http404
    text, topic, key = (request.GET.get(name, "").strip() for name in ("q", "topic", "rule"))
    page = book_page(code, text=text, topic=topic, key=key)
    context = {"page": page, "books": book_cards(), "text": text, "topic": topic}
    return render(request, "jobs/rule_book.html", context)
