"""Addresses of this app, one noun a file."""

from jobs.urls import (
    customer_page,
    customers,
    documents,
    jobs,
    listings,
    mail,
    rules,
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
    *rules.urlpatterns,
    *customer_page.urlpatterns,
]
