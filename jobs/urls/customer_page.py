"""Addresses of the customer's private page."""

from django.urls import path

from jobs.views import customer_page

urlpatterns = [
    path("c/<str:token>/", customer_page.customer_page, name="customer_page"),
    path("c/<str:token>/book/<row:pk>/", customer_page.customer_book, name="customer_book"),
    path("c/<str:token>/stop/", customer_page.customer_stop, name="customer_stop"),
    path("c/<str:token>/start/", customer_page.customer_start, name="customer_start"),
    path("c/<str:token>/documents/<row:pk>/", customer_page.customer_document, name="customer_document"),
]
