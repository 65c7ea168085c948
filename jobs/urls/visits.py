"""Addresses of visits and the week."""

from django.urls import path

from jobs.views import visits, week

urlpatterns = [
    path("week/", week.week, name="week"),
    path("jobs/<row:pk>/visits/add/", visits.visit_add, name="visit_add"),
    path("visits/<row:pk>/edit/", visits.visit_edit_view, name="visit_edit"),
    path("visits/<row:pk>/cancel/", visits.visit_cancel_view, name="visit_cancel"),
]
