"""Signing in: who may, who may not, and how often somebody may guess."""

from __future__ import annotations

import re
from smtplib import SMTPServerDisconnected

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value, yield_hotp_counters_from_time
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import NoReverseMatch, reverse

from tests.factories import UserFactory

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"


@pytest.fixture(autouse=True)
def _nobody_guessed_yet():
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def person():
    return UserFactory(email="fern@shop.example", name="Fern Office")


def sign_in(client, email="fern@shop.example", password=PASSWORD, **rest):
    return client.post(reverse("account_login"), {"login": email, "password": password}, **rest)


def prove_it_is_me(client):
    client.post(reverse("account_reauthenticate"), {"password": PASSWORD})


def code_for(secret):
    return format_hotp_value(hotp_value(secret, next(yield_hotp_counters_from_time())))


class TestSigningIn:
    def test_the_right_password_leads_to_today(self, person):
        response = sign_in(Client())
        assert (response.status_code, response.url) == (302, reverse("today"))

    def test_the_case_of_the_address_does_not_matter(self, person):
        assert sign_in(Client(), email="FERN@Shop.Example").status_code == 302

    def test_it_leads_back_to_where_one_wanted_to_go(self, person):
        client = Client()
        login = client.get(reverse("job_list")).url
        assert 'value="/jobs/"' in client.get(login).content.decode()
        response = client.post(login, {"login": person.email, "password": PASSWORD, "next": "/jobs/"})
        assert response.url == "/jobs/"

    def test_it_never_leads_to_another_site(self, person):
        response = Client().post(
            reverse("account_login") + "?next=https://elsewhere.example/",
            {"login": person.email, "password": PASSWORD, "next": "https://elsewhere.example/"},
        )
        assert response.url == reverse("today")

    def test_a_wrong_password_says_no_more_than_needed(self, person):
        known = sign_in(Client(), password="wrong").content.decode()
        unknown = sign_in(Client(), email="nobody@shop.example", password="wrong").content.decode()
        sentence = "password you specified are not correct"
        assert sentence in known
        assert sentence in unknown

    def test_somebody_switched_off_does_not_get_in(self, person):
        person.is_active = False
        person.save()
        client = Client()
        sign_in(client)
        assert client.get(reverse("today")).status_code == 302

    def test_somebody_without_a_password_does_not_get_in(self):
        UserFactory(email="new@shop.example", password=None)
        client = Client()
        sign_in(client, email="new@shop.example", password="")
        sign_in(client, email="new@shop.example", password="None")
        assert client.get(reverse("today")).status_code == 302

    def test_signing_out_is_a_post(self, person):
        client = Client()
        sign_in(client)
        assert "Sign out?" in client.get(reverse("account_logout")).content.decode()
        assert client.get(reverse("today")).status_code == 200
        client.post(reverse("account_logout"))
        assert client.get(reverse("today")).status_code == 302


class TestGuessing:
    def test_after_five_wrong_guesses_the_right_password_waits_too(self, person):
        client = Client()
        for _ in range(5):
            assert "not correct" in sign_in(client, password="wrong").content.decode()
        response = sign_in(client)
        assert "Too many failed login attempts" in response.content.decode()
        assert client.get(reverse("today")).status_code == 302

    def test_a_guesser_elsewhere_counts_for_the_same_address(self, person):
        for n in range(5):
            sign_in(Client(), password="wrong", REMOTE_ADDR=f"192.0.2.{n + 1}")
        late = sign_in(Client(), REMOTE_ADDR="192.0.2.77")
        assert "Too many failed login attempts" in late.content.decode()

    def test_another_person_still_signs_in(self, person):
        UserFactory(email="ivo@shop.example")
        for n in range(6):
            sign_in(Client(), password="wrong", REMOTE_ADDR=f"192.0.2.{n + 1}")
        assert sign_in(Client(), email="ivo@shop.example", REMOTE_ADDR="192.0.2.99").status_code == 302

    def test_hammering_is_answered_429_in_our_own_words(self, person):
        client = Client()
        codes = [client.post(reverse("account_login")).status_code for _ in range(31)]
        assert codes == [200] * 30 + [429]
        assert "Too many tries" in client.post(reverse("account_login")).content.decode()
        assert client.get(reverse("account_login")).status_code == 200

    def test_asking_for_reset_mails_is_limited_for_each_address(self, person):
        for n in range(7):
            Client().post(
                reverse("account_reset_password"), {"email": person.email}, REMOTE_ADDR=f"192.0.2.{n + 1}"
            )
        assert len(mail.outbox) == 5


class TestReset:
    def test_a_mail_brings_a_link_and_the_new_password_holds(self, person):
        client = Client()
        done = client.post(reverse("account_reset_password"), {"email": "Fern@shop.example"}, follow=True)
        assert "Look into your mail" in done.content.decode()
        link = re.search(r"https?://[^/\s]+(/\S+)", mail.outbox[0].body)[1]
        form = client.get(link, follow=True)
        changed = client.post(
            form.request["PATH_INFO"], {"password1": "ember and slate 9", "password2": "ember and slate 9"},
            follow=True,
        )  # fmt: skip
        assert "The new password holds" in changed.content.decode()
        assert sign_in(Client(), password="ember and slate 9").status_code == 302

    def test_an_address_nobody_has_gets_no_mail_and_the_same_answer(self):
        answer = Client().post(
            reverse("account_reset_password"), {"email": "nobody@house.example"}, follow=True
        )
        assert "Look into your mail" in answer.content.decode()
        assert mail.outbox == []

    def test_somebody_switched_off_gets_no_mail(self, person):
        person.is_active = False
        person.save()
        Client().post(reverse("account_reset_password"), {"email": person.email})
        assert mail.outbox == []

    def test_a_mail_server_that_is_away_says_what_else_helps(self, person, monkeypatch):
        def away(self, fail_silently=False):
            raise SMTPServerDisconnected("gone")

        monkeypatch.setattr("django.core.mail.EmailMultiAlternatives.send", away)
        monkeypatch.setattr("django.core.mail.EmailMessage.send", away)
        answer = Client().post(reverse("account_reset_password"), {"email": person.email})
        assert answer.status_code == 503
        assert "ask an owner of the shop" in answer.content.decode()


class TestSecondFactor:
    def test_it_is_set_up_asked_for_and_switched_off(self, person):
        client = Client()
        sign_in(client)
        prove_it_is_me(client)
        page = client.get(reverse("mfa_activate_totp"))
        secret = page.context["form"].secret
        assert secret in page.content.decode()
        codes = client.post(reverse("mfa_activate_totp"), {"code": code_for(secret)}, follow=True)
        assert "10 of 10 codes are left" in codes.content.decode()
        recovery = codes.context["unused_codes"]
        assert recovery[0] in codes.content.decode()
        assert client.get(reverse("mfa_download_recovery_codes")).status_code == 200

        # A code counts once; forgetting that it was used stands for waiting half a minute.
        cache.clear()
        other = Client()
        assert sign_in(other).url == reverse("mfa_authenticate")
        assert other.get(reverse("today")).status_code == 302
        wrong = other.post(reverse("mfa_authenticate"), {"code": "000000"})
        assert "Incorrect code" in wrong.content.decode()
        assert other.post(reverse("mfa_authenticate"), {"code": code_for(secret)}).url == reverse("today")

        lost = Client()
        sign_in(lost)
        assert lost.post(reverse("mfa_authenticate"), {"code": recovery[0]}).status_code == 302
        assert lost.get(reverse("today")).status_code == 200
        again = Client()
        sign_in(again)
        refused = again.post(reverse("mfa_authenticate"), {"code": recovery[0]})
        assert "Incorrect code" in refused.content.decode()

        index = client.get(reverse("mfa_index")).content.decode()
        assert "9 of 10 codes are left" in index
        assert "Switch off" in client.get(reverse("mfa_deactivate_totp")).content.decode()
        client.post(reverse("mfa_deactivate_totp"))
        assert not Authenticator.objects.exists()

    def test_setting_it_up_asks_for_the_password_again(self, as_user, person):
        client = as_user(person)
        response = client.get(reverse("mfa_activate_totp"), follow=True)
        assert "Is it you?" in response.content.decode()
        wrong = client.post(response.request["PATH_INFO"], {"password": "wrong"})
        assert "Incorrect password" in wrong.content.decode()
        right = client.post(response.request["PATH_INFO"] + "?next=/account/2fa/totp/activate/",
                            {"password": PASSWORD, "next": "/account/2fa/totp/activate/"})  # fmt: skip
        assert right.url == "/account/2fa/totp/activate/"
        assert client.get(right.url).status_code == 200

    def test_new_recovery_codes_end_the_old_ones(self, person):
        client = Client()
        sign_in(client)
        prove_it_is_me(client)
        secret = client.get(reverse("mfa_activate_totp")).context["form"].secret
        first = client.post(reverse("mfa_activate_totp"), {"code": code_for(secret)}, follow=True).context[
            "unused_codes"
        ]
        assert "stop working" in client.get(reverse("mfa_generate_recovery_codes")).content.decode()
        second = client.post(reverse("mfa_generate_recovery_codes"), follow=True).context["unused_codes"]
        assert not set(first) & set(second)


class TestOwnPassword:
    def test_it_is_changed_with_the_old_one(self, as_user, person):
        client = as_user(person)
        said = {"oldpassword": PASSWORD, "password1": "ember and slate 9", "password2": "ember and slate 9"}
        client.post(reverse("account_change_password"), said)
        person.refresh_from_db()
        assert person.check_password("ember and slate 9")
        assert client.get(reverse("today")).status_code in {200, 302}

    def test_it_is_not_changed_without_the_old_one(self, as_user, person):
        said = {"oldpassword": "guess", "password1": "ember and slate 9", "password2": "ember and slate 9"}
        page = as_user(person).post(reverse("account_change_password"), said).content.decode()
        assert "Please type your current password" in page


@pytest.mark.parametrize(
    "name", ["account_signup", "account_email", "account_set_password", "mfa_add_webauthn"]
)
def test_what_is_not_used_has_no_address(name):
    with pytest.raises(NoReverseMatch):
        reverse(name)


@pytest.mark.parametrize(
    "name",
    ["account_login", "account_logout", "account_reset_password", "account_reset_password_done",
     "account_reset_password_from_key_done", "account_inactive"],
)  # fmt: skip
def test_nobody_s_pages_are_in_our_own_look(name):
    response = Client().get(reverse(name), follow=True)
    assert response.status_code == 200
    assert "css/fluewright.css" in response.content.decode()


@pytest.mark.parametrize("name", ["account_change_password", "mfa_index", "mfa_activate_totp"])
def test_ones_own_account_needs_a_login(name):
    response = Client().get(reverse(name))
    assert response.status_code == 302
    assert response.url.startswith(reverse("account_login"))


def test_a_page_that_is_not_there_is_in_our_own_words(as_user, person):
    response = as_user(person).get("/no/such/page/")
    assert response.status_code == 404
    assert "There is nothing here that you may see" in response.content.decode()


def test_a_broken_page_says_what_to_do(as_user, person, monkeypatch):
    def broken(user, now):
        raise RuntimeError("the flue fell down")

    monkeypatch.setattr("jobs.views.today.panels_for", broken)
    client = as_user(person)
    client.raise_request_exception = False
    response = client.get(reverse("today"))
    assert response.status_code == 500
    assert "Something broke on our side" in response.content.decode()
