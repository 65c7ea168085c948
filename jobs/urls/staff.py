"""Addresses of the people and the settings of the shop."""

from django.urls import path

from jobs.views import credentials, shop, staff

urlpatterns = [
    path("shop/", shop.shop_settings, name="shop_settings"),
    path("staff/", staff.staff_list, name="staff_list"),
    path("staff/add/", staff.staff_add, name="staff_add"),
    path("staff/<row:pk>/", staff.staff_edit_view, name="staff_edit"),
    path("staff/<row:pk>/password/", staff.staff_password, name="staff_password"),
    path("staff/<row:pk>/invite/", staff.staff_invite_view, name="staff_invite"),
    path("staff/<row:pk>/second-factor/", staff.staff_second_factor, name="staff_second_factor"),
    path("staff/<row:pk>/credentials/add/", credentials.credential_add, name="credential_add"),
    path("credentials/<row:pk>/edit/", credentials.credential_edit, name="credential_edit"),
    path("credentials/<row:pk>/remove/", credentials.credential_remove, name="credential_remove"),
    path("crews/add/", staff.crew_add, name="crew_add"),
    path("crews/<row:pk>/edit/", staff.crew_edit_view, name="crew_edit"),
]
