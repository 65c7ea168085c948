"""Addresses of the people and the settings of the shop."""

from django.urls import path

from jobs.views import credentials, shop, staff

urlpatterns = [
    path("shop/", shop.shop_settings, name="shop_settings"),
    path("staff/", staff.staff_list, name="staff_list"),
    path("staff/add/", staff.staff_add, name="staff_add"),
    path("staff/<int:pk>/", staff.staff_edit_view, name="staff_edit"),
    path("staff/<int:pk>/password/", staff.staff_password, name="staff_password"),
    path("staff/<int:pk>/invite/", staff.staff_invite_view, name="staff_invite"),
    path("staff/<int:pk>/second-factor/", staff.staff_second_factor, name="staff_second_factor"),
    path("staff/<int:pk>/credentials/add/", credentials.credential_add, name="credential_add"),
    path("credentials/<int:pk>/edit/", credentials.credential_edit, name="credential_edit"),
    path("credentials/<int:pk>/remove/", credentials.credential_remove, name="credential_remove"),
    path("crews/add/", staff.crew_add, name="crew_add"),
    path("crews/<int:pk>/edit/", staff.crew_edit_view, name="crew_edit"),
]
