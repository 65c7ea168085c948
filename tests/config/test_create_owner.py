"""The first owner of a shop is made from the command line, once."""

from __future__ import annotations

import io
import sys

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from jobs.models import Role, User
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db

PASSWORD = "chestnut-and-slate-9"


@pytest.fixture
def typed(monkeypatch):
    """Return a function that puts words on the standard input."""

    def put(words: str) -> None:
        monkeypatch.setattr(sys, "stdin", io.StringIO(words))

    return put


@pytest.fixture
def at_the_prompt(monkeypatch):
    """Return a function that answers the questions asked at a terminal."""

    def answer(*, words: list[str], passwords: list[str]) -> None:
        spoken, secret = iter(words), iter(passwords)
        monkeypatch.setattr("builtins.input", lambda question: next(spoken))
        monkeypatch.setattr("config.management.commands.create_owner.getpass", lambda question: next(secret))

    return answer


def create(**options) -> str:
    told = io.StringIO()
    call_command("create_owner", stdout=told, **options)
    return told.getvalue()


def test_it_makes_an_owner_who_can_sign_in(client, typed, settings):
    typed(f"{PASSWORD}\n")
    told = create(name="Olive Owner", email="Olive@Shop.example", password_stdin=True)
    assert "Olive Owner can sign in" in told
    assert settings.SITE_URL in told
    owner = User.objects.get()
    assert (owner.email, owner.role) == ("olive@shop.example", Role.OWNER)
    page = client.post(reverse("account_login"), {"login": "olive@shop.example", "password": PASSWORD})
    assert (page.status_code, page.url) == (302, reverse("today"))
    assert client.get(reverse("staff_list")).status_code == 200


def test_it_asks_for_what_was_not_given(at_the_prompt):
    at_the_prompt(words=["Olive Owner", "olive@shop.example"], passwords=[PASSWORD, PASSWORD])
    create()
    owner = User.objects.get()
    assert (owner.name, owner.check_password(PASSWORD)) == ("Olive Owner", True)


def test_it_refuses_two_passwords_that_differ(at_the_prompt):
    at_the_prompt(words=["Olive Owner", "olive@shop.example"], passwords=[PASSWORD, "another-one-7"])
    with pytest.raises(CommandError, match="not the same"):
        create()
    assert not User.objects.exists()


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"email": "olive"}, "Mail address: Enter a valid email address"),
        ({"password": "short"}, "First password: .*too short"),
        ({"password": ""}, "needs a password"),
        ({"name": " "}, "Name: This field is required"),
    ],
)
def test_it_says_what_is_wrong_and_makes_nothing(typed, given, sentence):
    said = {"name": "Olive Owner", "email": "olive@shop.example", "password": PASSWORD, **given}
    typed(said.pop("password") + "\n")
    with pytest.raises(CommandError, match=sentence):
        create(**said, password_stdin=True)
    assert not User.objects.exists()


def test_it_refuses_a_second_owner_and_says_how_the_first_gets_in_again(typed):
    UserFactory(role=Role.OWNER, name="Olive Owner", email="olive@shop.example")
    typed(f"{PASSWORD}\n")
    with pytest.raises(CommandError, match=r"Olive Owner .*changepassword olive@shop\.example"):
        create(name="Second Owner", email="second@shop.example", password_stdin=True)
    assert User.objects.count() == 1


def test_it_makes_a_new_owner_where_the_only_one_was_switched_off(typed):
    UserFactory(role=Role.OWNER, is_active=False)
    typed(f"{PASSWORD}\n")
    create(name="Second Owner", email="second@shop.example", password_stdin=True)
    assert User.objects.filter(role=Role.OWNER, is_active=True).count() == 1
