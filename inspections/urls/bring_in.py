"""The address where files of unsent work are brought in."""

from django.urls import path

from inspections.views import bring_in

urlpatterns = [
    path("tablet/bring-in/", bring_in.bring_in, name="bring_in"),
]
