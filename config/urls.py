"""Addresses."""

from django.urls import include, path

urlpatterns = [
    path("account/", include("jobs.urls.accounts")),
    path("", include("jobs.urls")),
    path("", include("inspections.urls")),
]
