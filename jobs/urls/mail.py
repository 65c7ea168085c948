"""Addresses of the mail that leaves the shop."""

from django.urls import path

from jobs.views import mail

urlpatterns = [
    path("mail/", mail.mail_list, name="mail_list"),
    path("mail/<row:pk>/", mail.mail_detail, name="mail_detail"),
    path("mail/<row:pk>/resend/", mail.mail_send_again, name="mail_resend"),
    path("mail/<row:pk>/sent/", mail.mail_sent, name="mail_mark_sent"),
]
