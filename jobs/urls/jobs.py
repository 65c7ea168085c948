"""Addresses of jobs, their permits and the Today page."""

from django.urls import path

from jobs.views import jobs, permits, today

urlpatterns = [
    path("", today.today, name="today"),
    path("jobs/", jobs.job_list, name="job_list"),
    path("installations/<row:pk>/jobs/add/", jobs.job_add, name="job_add"),
    path("jobs/<row:pk>/", jobs.job_detail, name="job_detail"),
    path("jobs/<row:pk>/move/", jobs.job_move_view, name="job_move"),
    path("jobs/<row:pk>/plan/", jobs.job_plan_view, name="job_plan"),
    path("jobs/<row:pk>/permits/add/", permits.permit_add, name="permit_add"),
    path("permits/<row:pk>/edit/", permits.permit_edit, name="permit_edit"),
]
