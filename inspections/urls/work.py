"""Addresses of site work."""

from django.urls import path

from inspections.views import entries, work

urlpatterns = [
    path("jobs/<row:pk>/site-work/", work.work, name="work"),
    path("jobs/<row:pk>/site-work/begin/", work.record_begin_view, name="record_begin"),
    path("jobs/<row:pk>/site-work/<slug:key>/", work.stage_page, name="stage"),
    path("jobs/<row:pk>/site-work/<slug:key>/sign/", entries.stage_sign_view, name="stage_sign"),
    path("jobs/<row:pk>/site-work/<slug:key>/defect/", entries.defect_add, name="defect_add"),
    path("jobs/<row:pk>/site-work/<slug:key>/<slug:item>/answer/", entries.answer_add, name="answer_add"),
    path("jobs/<row:pk>/site-work/<slug:key>/<slug:item>/photo/", entries.photo_add, name="photo_add"),
]
