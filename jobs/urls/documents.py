"""Addresses of documents."""

from django.urls import path

from jobs.views import document_access, documents

urlpatterns = [
    path("documents/<row:pk>/", documents.document_file, name="document_file"),
    path("documents/<row:pk>/opened/", document_access.document_accesses, name="document_accesses"),
    path("documents/<row:pk>/retry/", documents.document_retry_view, name="document_retry"),
    path("jobs/<row:pk>/documents/", documents.document_list, name="document_list"),
    path("jobs/<row:pk>/work-pack/", documents.work_pack_request_view, name="work_pack_request"),
    path("jobs/<row:pk>/care-sheet/", documents.care_sheet_request_view, name="care_sheet_request"),
    path("jobs/<row:pk>/notice-plate/", documents.notice_plate_request_view, name="notice_plate_request"),
]
