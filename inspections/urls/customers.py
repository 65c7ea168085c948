"""Addresses of what is kept about customers."""

from django.urls import path

from inspections.views import customers

urlpatterns = [
    path("customers/past-keeping/", customers.keeping_list, name="keeping_list"),
    path("customers/<row:pk>/data/", customers.customer_data, name="customer_data"),
    path("customers/<row:pk>/data/export/", customers.customer_export_add, name="customer_export_add"),
    path("customers/<row:pk>/erase/", customers.customer_erase_page, name="customer_erase"),
    path("exports/<row:pk>/", customers.customer_export_file, name="export_file"),
]
