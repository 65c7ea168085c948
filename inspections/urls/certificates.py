"""Addresses of certificates."""

from django.urls import path

from inspections.views import certificates, verify

urlpatterns = [
    path("documents/<row:pk>/certificate/", certificates.certificate_detail, name="certificate_detail"),
    path(
        "documents/<row:pk>/certificate/reissue/",
        certificates.certificate_reissue,
        name="certificate_reissue",
    ),
    path(
        "documents/<row:pk>/certificate/withdraw/",
        certificates.certificate_withdraw_page,
        name="certificate_withdraw",
    ),
    path(
        "documents/<row:pk>/certificate/recompute/",
        certificates.certificate_recompute_page,
        name="certificate_recompute",
    ),
    path("verify/", verify.verify, name="verify"),
    path("verify/<str:code>/", verify.verify_certificate, name="verify_certificate"),
]
