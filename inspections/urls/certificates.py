"""Addresses of certificates."""

from django.urls import path

from inspections.views import certificates

urlpatterns = [
    path("documents/<row:pk>/certificate/", certificates.certificate_detail, name="certificate_detail"),
    path(
        "documents/<row:pk>/certificate/reissue/",
        certificates.certificate_reissue,
        name="certificate_reissue",
    ),
]
