"""Addresses of this app, one noun a file."""

from inspections.urls import certificates, photos, review, work

urlpatterns = [
    *work.urlpatterns,
    *photos.urlpatterns,
    *review.urlpatterns,
    *certificates.urlpatterns,
]
