"""Addresses of the rule books."""

from django.urls import path

from jobs.views import rules

urlpatterns = [
    path("rules/", rules.rule_books, name="rule_books"),
    path("rules/<slug:code>/", rules.rule_book, name="rule_book"),
]
