"""Addresses of services due and of customers' requests."""

from django.urls import path

from jobs.views import services_due

urlpatterns = [
    path("services/", services_due.service_list, name="service_list"),
    path("services/<row:pk>/job/", services_due.service_job, name="service_job"),
    path("bookings/<row:pk>/job/", services_due.booking_job, name="booking_job"),
    path("bookings/<row:pk>/aside/", services_due.booking_aside, name="booking_aside"),
]
