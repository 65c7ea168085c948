"""Addresses of mail."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
