"""Addresses of listing data."""

from django.urls import path

from jobs.views import listings

urlpatterns = [
    path("appliances/", listings.appliance_list, name="appliance_list"),
    path("appliances/add/", listings.appliance_add, name="appliance_add"),
    path("appliances/<row:pk>/edit/", listings.appliance_edit, name="appliance_edit"),
    path("chimneys/", listings.chimney_list, name="chimney_list"),
    path("chimneys/add/", listings.chimney_add, name="chimney_add"),
    path("chimneys/<row:pk>/edit/", listings.chimney_edit, name="chimney_edit"),
]
