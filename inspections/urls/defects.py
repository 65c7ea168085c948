"""Addresses of what is done about defects."""

from django.urls import path

from inspections.views import defects

urlpatterns = [
    path("jobs/<row:pk>/record/defects/<row:defect>/grade/", defects.defect_grade_view, name="defect_grade"),
    path("installations/<row:pk>/follow-up/", defects.follow_up_add, name="follow_up_add"),
    path("installations/<row:pk>/notices/<row:notice>/told/", defects.notice_told_view, name="notice_told"),
]
