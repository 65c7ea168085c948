"""Addresses of visits."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
