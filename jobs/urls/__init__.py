"""Addresses of this app, one noun a file."""

from jobs.urls import (
    customer_page,
    customers,
    documents,
    jobs,
    listings,
    mail,
    services,
    staff,
    surveys,
    visits,
)

urlpatterns = [
    *jobs.urlpatterns,
    *visits.urlpatterns,
    *customers.urlpatterns,
    *listings.urlpatterns,
    *surveys.urlpatterns,
    *services.urlpatterns,
    *staff.urlpatterns,
    *documents.urlpatterns,
    *mail.urlpatterns,
    *customer_page.urlpatterns,
]
