"""Addresses of this app, one noun a file."""

from inspections.urls import (
    bring_in,
    certificates,
    customers,
    defects,
    photos,
    review,
    tablet,
    tablet_api,
    work,
)

urlpatterns = [
    *work.urlpatterns,
    *photos.urlpatterns,
    *review.urlpatterns,
    *defects.urlpatterns,
    *certificates.urlpatterns,
    *tablet.urlpatterns,
    *tablet_api.urlpatterns,
    *bring_in.urlpatterns,
    *customers.urlpatterns,
]
