"""Addresses of customer_page."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
