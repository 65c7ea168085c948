"""Addresses of review and sign-off."""

from django.urls import path

from inspections.views import evidence, late_entries, review

urlpatterns = [
    path("jobs/<row:pk>/record/", review.record_review, name="record_review"),
    path("jobs/<row:pk>/record/evidence/", evidence.record_evidence, name="record_evidence"),
    path("jobs/<row:pk>/record/evidence/file/", evidence.record_evidence_file, name="record_evidence_file"),
    path("jobs/<row:pk>/record/return/", review.record_return_view, name="record_return"),
    path("jobs/<row:pk>/record/sign-off/", review.record_sign_off_view, name="record_sign_off"),
    path("jobs/<row:pk>/record/defects/<row:defect>/waiver/", review.waiver_add, name="waiver_add"),
    path("jobs/<row:pk>/record/late/<row:entry>/", late_entries.late_entry_look_view, name="late_entry_look"),
]
