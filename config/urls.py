"""Addresses."""

from django.urls import include, path

urlpatterns = [
    path("account/", include("allauth.urls")),
    path("", include("jobs.urls")),
    path("", include("inspections.urls")),
]
