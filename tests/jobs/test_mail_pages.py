"""The office sees what became of every mail and decides what no machine may."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import MailState, OutgoingMail
from jobs.services.mail import mail_queue

pytestmark = pytest.mark.django_db
READ = ["mail_list", "mail_detail"]
WRITE = ["mail_resend", "mail_mark_sent"]


@pytest.fixture
def doubtful() -> OutgoingMail:
    before = timezone.now() - timedelta(hours=1)
    mail = mail_queue(to="ada@house.example", subject="Your sweep is due", text="Dear Ada", now=before)
    OutgoingMail.objects.filter(pk=mail.pk).update(claimed_at=before, handed_over_at=before, attempts=1)
    return mail


def address(name: str, mail: OutgoingMail) -> str:
    return reverse(name) if name == "mail_list" else reverse(name, args=[mail.pk])


def test_the_list_shows_every_mail_with_its_state_in_words(doubtful, office, as_user):
    mail_queue(to="ben@house.example", subject="Hello Ben", text="x", now=timezone.now())
    page = as_user(office).get(reverse("mail_list")).content.decode()
    assert "Your sweep is due" in page
    assert 'data-state="may have gone out">May have gone out' in page
    assert 'data-state="queued">Queued' in page


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("state=queued", {"Ben"}),
        ("state=may+have+gone+out", {"Ada"}),
        ("q=BEN", {"Ben"}),
        ("q=ada+sweep", {"Ada"}),
        ("state=nonsense", {"Ada", "Ben"}),
    ],
)
def test_the_list_can_be_narrowed_by_state_and_words(query, shown, doubtful, office, as_user):
    OutgoingMail.objects.update(subject="sweep for Ada")
    mail_queue(to="ben@house.example", subject="sweep for Ben", text="x", now=timezone.now())
    page = as_user(office).get(f"{reverse('mail_list')}?{query}").content.decode()
    assert {name for name in ("Ada", "Ben") if f"sweep for {name}" in page} == shown


def test_an_empty_list_says_what_will_come_and_where_to_look(office, as_user):
    page = as_user(office).get(reverse("mail_list")).content.decode()
    assert "No mail yet" in page
    assert reverse("service_list") in page


def test_a_search_without_result_offers_everything(office, as_user, doubtful):
    page = as_user(office).get(f"{reverse('mail_list')}?q=zebra").content.decode()
    assert "No mail matches" in page


def test_a_mail_in_doubt_offers_both_decisions(doubtful, office, as_user):
    page = as_user(office).get(address("mail_detail", doubtful)).content.decode()
    assert "This mail may have gone out" in page
    assert address("mail_resend", doubtful) in page
    assert address("mail_mark_sent", doubtful) in page
    assert "Dear Ada" in page


def test_a_sent_mail_offers_none(office, as_user, doubtful):
    OutgoingMail.objects.update(done_at=timezone.now())
    page = as_user(office).get(address("mail_detail", doubtful)).content.decode()
    assert address("mail_resend", doubtful) not in page
    assert address("mail_mark_sent", doubtful) not in page


@pytest.mark.parametrize(
    ("name", "state"), [("mail_resend", MailState.QUEUED), ("mail_mark_sent", MailState.SENT)]
)
def test_the_office_decides(name, state, doubtful, office, as_user):
    response = as_user(office).post(address(name, doubtful))
    assert response.status_code == 302
    doubtful.refresh_from_db()
    assert doubtful.state(timezone.now()) == state


def test_a_decision_that_came_too_late_is_explained(doubtful, office, as_user):
    OutgoingMail.objects.update(done_at=timezone.now())
    page = as_user(office).post(address("mail_resend", doubtful), follow=True).content.decode()
    assert "is on its way or was sent" in page


@pytest.mark.parametrize("name", READ + WRITE)
def test_it_needs_a_login(name, doubtful):
    response = Client().get(address(name, doubtful))
    assert response.status_code == 302
    assert reverse("account_login") in response["Location"]


@pytest.mark.parametrize("name", READ + WRITE)
def test_those_who_do_not_keep_the_books_are_refused(name, doubtful, installer, inspector, as_user):
    for person in (installer, inspector):
        client = as_user(person)
        call = client.get if name in READ else client.post
        assert call(address(name, doubtful)).status_code == 403
    doubtful.refresh_from_db()
    assert doubtful.state(timezone.now()) == MailState.UNCERTAIN


@pytest.mark.parametrize("name", ["mail_detail", *WRITE])
def test_a_mail_that_is_not_there_is_a_404(name, office, as_user):
    client = as_user(office)
    call = client.get if name in READ else client.post
    assert call(reverse(name, args=[999_999])).status_code == 404


@pytest.mark.parametrize("name", READ + WRITE)
def test_a_wrong_method_is_refused(name, doubtful, office, as_user):
    client = as_user(office)
    call = client.post if name in READ else client.get
    assert call(address(name, doubtful)).status_code == 405
