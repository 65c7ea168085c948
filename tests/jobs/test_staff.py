"""Staff, crews, credentials and the shop's settings: the owner's pages."""

from __future__ import annotations

import re
from datetime import timedelta
from smtplib import SMTPServerDisconnected

import pytest
from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.errors import JobsError
from jobs.models import Credential, Crew, Role, Shop, User
from jobs.services.staff import staff_edit
from tests.factories import CrewFactory, TechnicianFactory, UserFactory, VisitFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db
PASSWORD = "ember and slate 9"


def said(**other):
    return {"name": "Nia Newcomer", "email": "Nia@shop.example", "role": "installer", "phone": "", **other}


def edit(person, **other):
    return {
        "name": person.name, "email": person.email, "role": person.role, "phone": "",
        "is_active": "on", **other,
    }  # fmt: skip


def url(name, row):
    return reverse(name, args=[row.pk])


class TestAdd:
    def test_somebody_is_added_with_a_password_and_signs_in(self, as_user, owner):
        crew = CrewFactory()
        as_user(owner).post(reverse("staff_add"), said(crew=crew.pk, password=PASSWORD))
        person = User.objects.get(email="nia@shop.example")
        assert (person.role, person.technician.crew) == ("installer", crew)
        client = Client()
        client.post(reverse("account_login"), {"login": "nia@shop.example", "password": PASSWORD})
        assert client.get(reverse("today")).status_code == 200
        assert mail.outbox == []

    def test_without_a_password_a_mail_brings_a_link_that_works_once(self, as_user, owner):
        as_user(owner).post(reverse("staff_add"), said())
        person = User.objects.get(email="nia@shop.example")
        assert not person.has_usable_password()
        letter = mail.outbox[0]
        assert letter.to == ["nia@shop.example"]
        link = re.search(r"https?://[^/\s]+(/\S+)", letter.body)[1]
        client = Client()
        page = client.get(link, follow=True)
        assert "Choose a password" in page.content.decode()
        client.post(page.request["PATH_INFO"], {"password1": PASSWORD, "password2": PASSWORD})
        person.refresh_from_db()
        assert person.check_password(PASSWORD)
        assert "no longer works" in Client().get(link, follow=True).content.decode()

    def test_a_mail_server_that_is_away_loses_nothing(self, as_user, owner, monkeypatch):
        def away(self, fail_silently=False):
            raise SMTPServerDisconnected("gone")

        monkeypatch.setattr("django.core.mail.EmailMessage.send", away)
        page = as_user(owner).post(reverse("staff_add"), said(), follow=True).content.decode()
        assert "Set a password here" in page
        assert User.objects.filter(email="nia@shop.example").exists()

    def test_an_address_in_use_is_refused_whatever_its_case(self, as_user, owner):
        UserFactory(email="nia@shop.example")
        page = as_user(owner).post(reverse("staff_add"), said(password=PASSWORD)).content.decode()
        assert "Somebody else signs in with this address" in page

    @pytest.mark.parametrize("password", ["short", "12345678901", "password123"])
    def test_a_weak_password_is_refused(self, as_user, owner, password):
        as_user(owner).post(reverse("staff_add"), said(password=password))
        assert not User.objects.filter(email="nia@shop.example").exists()

    def test_the_form_is_shown(self, as_user, owner):
        assert as_user(owner).get(reverse("staff_add")).status_code == 200


class TestEdit:
    def test_role_and_crew_are_changed(self, as_user, owner, installer):
        crew = CrewFactory()
        as_user(owner).post(url("staff_edit", installer), edit(installer, role="inspector", crew=crew.pk))
        installer.refresh_from_db()
        assert (installer.role, installer.technician.crew) == ("inspector", crew)

    def test_somebody_without_a_trade_side_gets_a_crew(self, as_user, owner, office):
        crew = CrewFactory()
        as_user(owner).post(url("staff_edit", office), edit(office, crew=crew.pk))
        office.refresh_from_db()
        assert office.technician.crew == crew

    def test_who_is_switched_off_is_out_at_once(self, as_user, owner, installer):
        theirs = as_user(installer)
        assert theirs.get(reverse("today")).status_code == 200
        person = edit(installer)
        del person["is_active"]
        as_user(owner).post(url("staff_edit", installer), person)
        assert theirs.get(reverse("today")).status_code == 302

    @pytest.mark.parametrize("change", [{"role": "office"}, {"is_active": ""}])
    def test_the_last_owner_stays(self, as_user, owner, change):
        UserFactory(role=Role.OWNER, is_active=False)
        response = as_user(owner).post(url("staff_edit", owner), edit(owner, **change))
        assert "is the only owner" in response.content.decode()
        owner.refresh_from_db()
        assert (owner.role, owner.is_active) == ("owner", True)

    def test_one_of_two_owners_may_step_down(self, owner):
        UserFactory(role=Role.OWNER)
        staff_edit(
            user=owner, name="Olive", email=owner.email, role="office", phone="", is_active=True, crew=None
        )
        owner.refresh_from_db()
        assert owner.role == "office"

    def test_an_old_address_no_longer_resets_the_password(self, owner):
        person = UserFactory(email="old@shop.example")
        EmailAddress.objects.create(user=person, email="old@shop.example", verified=True, primary=True)
        staff_edit(
            user=person,
            name="P",
            email="New@shop.example",
            role="office",
            phone="",
            is_active=True,
            crew=None,
        )
        person.refresh_from_db()
        assert person.email == "new@shop.example"
        Client().post(reverse("account_reset_password"), {"email": "old@shop.example"})
        assert mail.outbox == []


class TestSigningIn:
    def test_a_password_set_by_the_owner_signs_the_person_out(self, as_user, owner, installer):
        theirs = as_user(installer)
        as_user(owner).post(url("staff_password", installer), {"password": PASSWORD})
        installer.refresh_from_db()
        assert installer.check_password(PASSWORD)
        assert theirs.get(reverse("today")).status_code == 302

    def test_a_weak_password_is_refused(self, as_user, owner, installer):
        page = as_user(owner).post(url("staff_password", installer), {"password": "short"}).content.decode()
        assert "too short" in page

    def test_the_own_password_is_not_changed_without_knowing_it(self, as_user, owner):
        hides(as_user(owner), url("staff_password", owner), "post")

    def test_a_link_is_sent_again(self, as_user, owner, installer):
        as_user(owner).post(url("staff_invite", installer))
        assert mail.outbox[0].to == [installer.email]

    def test_nobody_who_left_is_sent_a_link(self, as_user, owner):
        gone = UserFactory(is_active=False)
        hides(as_user(owner), url("staff_invite", gone), "post")

    def test_a_lost_second_factor_is_removed(self, as_user, owner, installer):
        Authenticator.objects.create(user=installer, type="totp", data={"secret": "x"})
        client = as_user(owner)
        assert "Remove the lost second factor" in client.get(url("staff_edit", installer)).content.decode()
        client.post(url("staff_second_factor", installer))
        assert not Authenticator.objects.exists()


class TestCredentials:
    def test_one_is_added_changed_and_removed(self, as_user, owner, office):
        client = as_user(owner)
        client.post(
            url("credential_add", office),
            {"name": "Sweep licence", "number": "9", "expires_on": "2027-01-31"},
        )
        credential = Credential.objects.get()
        assert credential.technician.user == office
        client.post(
            url("credential_edit", credential), {"name": "Sweep licence", "number": "9", "issuer": "State"}
        )
        credential.refresh_from_db()
        assert (credential.issuer, credential.expires_on) == ("State", None)
        client.post(url("credential_remove", credential))
        assert not Credential.objects.exists()

    def test_the_same_one_twice_is_refused(self, as_user, owner, technician):
        Credential.objects.create(technician=technician, name="Sweep licence", number="9")
        page = as_user(owner).post(
            url("credential_add", technician.user), {"name": "Sweep licence", "number": "9"}
        )
        assert "already there" in page.content.decode()

    def test_an_expired_one_is_said_so(self, as_user, owner, technician):
        Credential.objects.create(
            technician=technician, name="Licence", expires_on=timezone.localdate() - timedelta(days=2)
        )
        client = as_user(owner)
        assert "expired" in client.get(reverse("staff_list")).content.decode()
        assert "Expired" in client.get(url("staff_edit", technician.user)).content.decode()


class TestCrews:
    def test_one_is_added_and_renamed(self, as_user, owner):
        client = as_user(owner)
        client.post(reverse("crew_add"), {"name": "North van", "active": "on"})
        crew = Crew.objects.get()
        client.post(url("crew_edit", crew), {"name": "South van", "active": "on"})
        crew.refresh_from_db()
        assert crew.name == "South van"

    def test_one_with_visits_ahead_goes_on_going_out(self, as_user, owner):
        now = timezone.now()
        crew = VisitFactory(starts_at=now, ends_at=now + timedelta(hours=4)).crew
        page = as_user(owner).post(url("crew_edit", crew), {"name": crew.name}).content.decode()
        assert "still has visits ahead (1)" in page
        crew.refresh_from_db()
        assert crew.active

    def test_one_without_visits_ahead_may_stop(self, as_user, owner):
        crew = VisitFactory(cancelled_at=timezone.now()).crew
        as_user(owner).post(url("crew_edit", crew), {"name": crew.name})
        crew.refresh_from_db()
        assert not crew.active

    def test_a_name_in_use_is_refused(self, as_user, owner):
        crew = CrewFactory()
        page = as_user(owner).post(reverse("crew_add"), {"name": crew.name, "active": "on"}).content.decode()
        assert "already exists" in page


class TestShop:
    def test_it_is_changed(self, as_user, owner):
        client = as_user(owner)
        client.post(
            reverse("shop_settings"),
            {
                "name": "Lantern Stoves",
                "time_zone": "Europe/London",
                "unit_system": "metric",
                "address": "1 Quay",
                "keep_years": "12",
                "access_log_years": "2",
            },
        )
        shop = Shop.current()
        assert (shop.name, shop.time_zone, shop.unit_system) == ("Lantern Stoves", "Europe/London", "metric")
        assert (shop.keep_years, shop.access_log_years) == (12, 2)
        assert "Lantern Stoves" in client.get(reverse("today")).content.decode()

    def test_a_clock_nobody_knows_is_refused(self, as_user, owner):
        as_user(owner).post(
            reverse("shop_settings"), {"name": "S", "time_zone": "Mars/Olympus", "unit_system": "metric"}
        )
        assert Shop.current().time_zone == "America/New_York"


@pytest.fixture
def pages(technician):
    """Every page of the owner with the methods it answers."""
    credential = Credential.objects.create(technician=technician, name="Licence")
    person = technician.user
    both = {"get", "post"}
    return {
        reverse("staff_list"): {"get"},
        reverse("staff_add"): both,
        url("staff_edit", person): both,
        url("staff_password", person): both,
        url("staff_invite", person): {"post"},
        url("staff_second_factor", person): {"post"},
        url("credential_add", person): both,
        url("credential_edit", credential): both,
        url("credential_remove", credential): {"post"},
        reverse("crew_add"): both,
        url("crew_edit", technician.crew): both,
        reverse("shop_settings"): both,
    }


def test_every_page_works_for_the_owner(as_user, owner, pages):
    client = as_user(owner)
    assert {client.get(path).status_code for path, methods in pages.items() if "get" in methods} == {200}


def test_every_page_needs_a_login(pages):
    for path in pages:
        needs_login(path)


def test_nobody_but_the_owner_opens_one(as_user, pages, office, inspector, stranger):
    for user in (office, inspector, stranger):
        client = as_user(user)
        for path, methods in pages.items():
            for method in methods:
                forbids(client, path, method)


def test_what_is_not_there_is_404(as_user, owner):
    client = as_user(owner)
    for name in ("staff_edit", "staff_password", "credential_add", "credential_edit", "crew_edit"):
        hides(client, reverse(name, args=[4711]))
    for name in ("staff_invite", "staff_second_factor", "credential_remove"):
        hides(client, reverse(name, args=[4711]), "post")


def test_a_wrong_method_is_refused(as_user, owner, pages):
    client = as_user(owner)
    for path, methods in pages.items():
        for method in {"get", "post", "put", "delete"} - methods:
            refuses_method(client, path, method)


def test_two_owners_cannot_both_step_down(owner):
    other = UserFactory(role=Role.OWNER)
    quits = {"name": "x", "role": "office", "phone": "", "is_active": True, "crew": None}
    staff_edit(user=owner, email=owner.email, **quits)
    with pytest.raises(JobsError) as refused:
        staff_edit(user=other, email=other.email, **quits)
    assert refused.value.code == "last_owner"


def test_the_week_lists_everybody_of_a_crew(as_user, owner):
    crew = CrewFactory()
    people = [TechnicianFactory(crew=crew).user.name for _ in range(2)]
    page = as_user(owner).get(reverse("week")).content.decode()
    assert all(name in page for name in people)
