"""Addresses of photos."""

from django.urls import path, re_path

from inspections.views import photos

urlpatterns = [
    re_path(
        r"^photos/(?P<pk>[0-9]{1,18})/(?P<size>thumbnail|print|original)/$",
        photos.photo_file,
        name="photo_file",
    ),
    path("photos/<row:pk>/", photos.photo_state, name="photo_state"),
]
