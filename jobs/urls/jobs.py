"""Addresses of jobs."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
