"""Addresses of customers, their sites and what is installed there."""

from django.urls import path

from jobs.views import customers, document_access, installations, sites

urlpatterns = [
    path("customers/", customers.customer_list, name="customer_list"),
    path("customers/add/", customers.customer_add, name="customer_add"),
    path("customers/<row:pk>/", customers.customer_detail, name="customer_detail"),
    path("customers/<row:pk>/edit/", customers.customer_edit, name="customer_edit"),
    path("customers/<row:pk>/link/", customers.customer_link_new, name="customer_link_new"),
    path("customers/<row:pk>/opened/", document_access.customer_accesses, name="customer_accesses"),
    path("customers/<row:pk>/sites/add/", sites.site_add, name="site_add"),
    path("sites/<row:pk>/edit/", sites.site_edit, name="site_edit"),
    path("sites/<row:pk>/installations/add/", installations.installation_add, name="installation_add"),
    path("installations/<row:pk>/", installations.installation_detail, name="installation_detail"),
    path("installations/<row:pk>/edit/", installations.installation_edit, name="installation_edit"),
]
