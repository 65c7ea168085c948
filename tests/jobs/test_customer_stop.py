"""Stopping reminders: by hand with a question before, by a mail program with one click (RFC 8058)."""

from __future__ import annotations

import email
import email.policy
import re
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Customer, OutgoingMail, ServiceSchedule
from jobs.services.mail_message import mail_bytes
from jobs.services.reminders import reminders_queue
from tests.factories import CustomerFactory, InstallationFactory

pytestmark = pytest.mark.django_db
ONE_CLICK = "List-Unsubscribe=One-Click"


@pytest.fixture
def customer() -> Customer:
    return CustomerFactory()


def stop(customer: Customer) -> str:
    return reverse("customer_stop", args=[customer.link_token])


def is_stopped(customer: Customer) -> bool:
    customer.refresh_from_db()
    return customer.reminders_stopped_at is not None


@pytest.mark.parametrize("method", ["get", "head"])
def test_looking_at_the_link_changes_nothing(customer, method):
    response = getattr(Client(), method)(stop(customer))
    assert response.status_code == 200
    assert not is_stopped(customer)


def test_the_page_asks_before_it_stops(customer):
    page = Client().get(stop(customer)).content.decode()
    assert "Stop reminders?" in page
    assert '<form method="post">' in page


# RFC 8058, 3.1 and 3.2: the request carries List-Unsubscribe=One-Click and neither cookie nor sign-in; the
# answer is no redirect.
@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (ONE_CLICK, "application/x-www-form-urlencoded"),
        (
            '--b\r\nContent-Disposition: form-data; name="List-Unsubscribe"\r\n\r\nOne-Click\r\n--b--\r\n',
            "multipart/form-data; boundary=b",
        ),
    ],
)
def test_a_mail_program_stops_with_one_click(customer, body, kind):
    response = Client(enforce_csrf_checks=True).post(stop(customer), body, content_type=kind)
    assert response.status_code == 200
    assert "Reminders are stopped" in response.content.decode()
    assert is_stopped(customer)


def test_it_stops_without_cookie_referer_or_token_from_a_strict_browser(customer):
    client = Client(enforce_csrf_checks=True)
    assert client.post(stop(customer), headers={"Origin": "null"}).status_code == 200
    assert is_stopped(customer)


def test_stopping_twice_is_no_error(customer):
    assert [Client().post(stop(customer)).status_code for _ in range(2)] == [200, 200]


def test_it_stops_this_customer_only(customer):
    other = CustomerFactory()
    Client().post(stop(customer))
    assert not is_stopped(other)


def test_reminders_start_again(customer):
    Client().post(stop(customer))
    response = Client(enforce_csrf_checks=True).post(reverse("customer_start", args=[customer.link_token]))
    assert response.status_code == 302
    assert response["Location"] == reverse("customer_page", args=[customer.link_token])
    assert not is_stopped(customer)


def test_the_private_page_says_how_reminders_stand(customer):
    page = reverse("customer_page", args=[customer.link_token])
    assert "30 and 7 days before" in Client().get(page).content.decode()
    Client().post(stop(customer))
    assert "Remind me again" in Client().get(page).content.decode()
    Customer.objects.update(email="")
    assert "no mail address" in Client().get(page).content.decode()


def test_the_address_in_a_mails_header_is_the_one_that_stops(settings):
    """From the bytes that travel, as a mail program reads them, to the customer's row."""
    settings.SITE_URL = "https://testserver"
    installation = InstallationFactory()
    due = timezone.localdate() + timedelta(days=20)
    ServiceSchedule.objects.create(
        installation=installation, kind="sweep", last_done_on=due - timedelta(days=365), next_due_on=due
    )
    reminders_queue(now=timezone.now())
    message = email.message_from_bytes(mail_bytes(OutgoingMail.objects.get()), policy=email.policy.default)
    assert message["List-Unsubscribe-Post"] == ONE_CLICK
    (where,) = re.findall(r"<(https://[^>]+)>", message["List-Unsubscribe"])
    response = Client(enforce_csrf_checks=True).post(
        urlsplit(where).path, ONE_CLICK, content_type="application/x-www-form-urlencoded"
    )
    assert response.status_code == 200
    assert is_stopped(installation.site.customer)
