"""Addresses of the tablet's app."""

from django.urls import path

from inspections.views import tablet

urlpatterns = [
    path("tablet/", tablet.tablet, name="tablet"),
    path("tablet/manifest.webmanifest", tablet.tablet_manifest, name="tablet_manifest"),
    path("tablet/service-worker.js", tablet.tablet_service_worker, name="tablet_service_worker"),
]
