"""Addresses of certificates."""

from django.urls import path

from inspections.views import certificates, hand_over, verify

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
    path("jobs/<row:pk>/flue-label/", hand_over.flue_label_request_view, name="flue_label_request"),
    path("jobs/<row:pk>/hand-over-pack/", hand_over.hand_over_request_view, name="hand_over_request"),
    path("verify/", verify.verify, name="verify"),
    path("verify/<str:code>/", verify.verify_certificate, name="verify_certificate"),
]
