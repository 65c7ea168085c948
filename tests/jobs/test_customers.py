"""Customers: pages, private link, who sees whom."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.models import Customer, Document, Role
from jobs.queries.customers import customers_found, customers_visible_to
from jobs.services.customers import customer_link_renew, customer_save
from tests.factories import (
    NOW,
    CustomerFactory,
    InstallationFactory,
    JobFactory,
    SiteFactory,
    UserFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def visited(technician):
    """A customer whose house the installer's crew is sent to."""
    return VisitFactory(crew=technician.crew).job.installation.site.customer


def test_an_installer_sees_only_customers_of_the_own_crews_jobs(installer, stranger, visited):
    CustomerFactory(name="Somebody else")
    assert list(customers_visible_to(installer)) == [visited]
    assert not customers_visible_to(stranger).exists()


def test_an_installer_no_longer_sees_a_customer_whose_visit_was_cancelled(installer, technician):
    VisitFactory(crew=technician.crew, cancelled_at=NOW)
    assert not customers_visible_to(installer).exists()


@pytest.mark.parametrize("role", [Role.OWNER, Role.OFFICE, Role.INSPECTOR])
def test_the_office_and_the_inspector_see_every_customer(role):
    CustomerFactory.create_batch(2)
    assert customers_visible_to(UserFactory(role=role)).count() == 2


@pytest.mark.parametrize("words", ["heron", "HERON mill", "5550 1234", "mara@"])
def test_a_customer_is_found_by_any_words_of_name_address_mail_or_phone(office, words):
    wanted = CustomerFactory(name="Mara Heron", phone="5550 1234", email="mara@house.example")
    SiteFactory(customer=wanted, street="7 Mill Race")
    SiteFactory(customer=CustomerFactory(name="Other"))
    assert list(customers_found(office, words)) == [wanted]


def test_saving_an_old_customer_leaves_what_nobody_edits_as_it_is():
    customer = CustomerFactory()
    Customer.objects.filter(pk=customer.pk).update(reminders_stopped_at=NOW)
    customer.name = "New Name"
    customer_save(customer=customer)
    customer.refresh_from_db()
    assert (customer.name, customer.reminders_stopped_at) == ("New Name", NOW)


def test_a_renewed_link_closes_the_old_one():
    customer = CustomerFactory()
    old = customer.link_token
    customer_link_renew(customer=customer)
    assert not Customer.objects.filter(link_token=old).exists()
    assert len(customer.link_token) >= 43


class TestList:
    url = "/customers/"

    def test_it_lists_customers_with_their_houses(self, as_user, office):
        site = SiteFactory(street="7 Mill Race")
        page = as_user(office).get(self.url).content.decode()
        assert site.customer.name in page
        assert "7 Mill Race" in page

    def test_it_needs_a_login(self, client):
        assert client.get(self.url).status_code == 302

    def test_a_stranger_finds_nobody_and_is_told_why(self, as_user, stranger):
        CustomerFactory(name="Hidden Person")
        page = as_user(stranger).get(self.url).content.decode()
        assert "Hidden Person" not in page
        assert "once your crew is sent" in page

    def test_a_reader_is_offered_no_way_to_add(self, as_user, inspector):
        assert reverse("customer_add") not in as_user(inspector).get(self.url).content.decode()

    def test_it_refuses_a_post(self, as_user, office):
        assert as_user(office).post(self.url).status_code == 405

    def test_an_empty_shop_says_what_to_do_first(self, as_user, office):
        assert "Enter the first one" in as_user(office).get(self.url).content.decode()

    def test_going_back_gets_the_whole_page(self, as_user, office):
        told = {"HTTP_HX_REQUEST": "true", "HTTP_HX_HISTORY_RESTORE_REQUEST": "true"}
        page = as_user(office).get(reverse("customer_list"), **told)
        assert "<html" in page.content.decode()
        assert "HX-Request" in page["Vary"]

    def test_typing_gets_only_the_rows(self, as_user, office):
        CustomerFactory(name="Mara Heron")
        page = as_user(office).get(self.url, {"q": "mara"}, headers={"HX-Request": "true"}).content.decode()
        assert "Mara Heron" in page
        assert "<html" not in page

    def test_it_asks_the_database_the_same_for_many_customers(
        self, as_user, office, django_assert_max_num_queries
    ):
        for _ in range(20):
            InstallationFactory()
        client = as_user(office)
        client.get(self.url)
        with django_assert_max_num_queries(10):
            client.get(self.url)


class TestDetail:
    def test_it_shows_everything_that_hangs_on_the_customer(self, as_user, office):
        job = JobFactory(installation__room="Snug")
        Document.objects.create(
            job=job, kind="work pack", title="Work pack of J", context={}, requested_at=NOW, due_at=NOW
        )
        job.installation.services.create(kind="sweep", last_done_on="2025-05-01", next_due_on="2026-05-01")
        customer = job.installation.site.customer
        page = as_user(office).get(f"/customers/{customer.pk}/").content.decode()
        for words in (
            "Snug",
            job.number,
            "Work pack of J",
            "Chimney sweep",
            "overdue since",
            customer.link_token,
        ):
            assert words in page

    def test_it_needs_a_login(self, client):
        assert client.get(f"/customers/{CustomerFactory().pk}/").status_code == 302

    def test_a_stranger_gets_404(self, as_user, stranger, visited):
        assert as_user(stranger).get(f"/customers/{visited.pk}/").status_code == 404

    def test_the_crew_sees_the_customer_but_neither_notes_nor_private_link(self, as_user, installer, visited):
        Customer.objects.filter(pk=visited.pk).update(notes="pays late")
        page = as_user(installer).get(f"/customers/{visited.pk}/").content.decode()
        assert visited.name in page
        assert "pays late" not in page
        assert visited.link_token not in page

    def test_the_crew_sees_only_the_installations_it_is_sent_to(self, as_user, installer, visited):
        InstallationFactory(site=visited.sites.get(), room="Garden studio")
        page = as_user(installer).get(f"/customers/{visited.pk}/").content.decode()
        assert "Living room" in page
        assert "Garden studio" not in page

    def test_it_refuses_a_post(self, as_user, office):
        assert as_user(office).post(f"/customers/{CustomerFactory().pk}/").status_code == 405

    def test_without_a_house_it_says_to_enter_one(self, as_user, office):
        customer = CustomerFactory()
        page = as_user(office).get(f"/customers/{customer.pk}/").content.decode()
        assert "No house yet" in page
        assert reverse("site_add", args=[customer.pk]) in page


class TestAddAndEdit:
    def test_a_new_customer_is_entered(self, as_user, office):
        answer = as_user(office).post("/customers/add/", {"name": "Mara Heron", "email": "m@house.example"})
        customer = Customer.objects.get()
        assert answer.headers["Location"] == f"/customers/{customer.pk}/"

    def test_a_bad_mail_address_is_shown_again_with_what_was_typed(self, as_user, office):
        answer = as_user(office).post("/customers/add/", {"name": "Mara", "email": "mara at home"})
        page = answer.content.decode()
        assert "mara at home" in page
        assert "valid email" in page
        assert not Customer.objects.exists()

    def test_an_old_customer_is_changed(self, as_user, owner):
        customer = CustomerFactory()
        as_user(owner).post(f"/customers/{customer.pk}/edit/", {"name": "Changed"})
        customer.refresh_from_db()
        assert customer.name == "Changed"

    def test_both_need_a_login(self, client):
        customer = CustomerFactory()
        assert client.get("/customers/add/").status_code == 302
        assert client.get(f"/customers/{customer.pk}/edit/").status_code == 302

    @pytest.mark.parametrize("who", ["installer", "inspector"])
    def test_a_reader_cannot_write(self, as_user, request, who):
        customer = CustomerFactory(name="As it was")
        signed_in = as_user(request.getfixturevalue(who))
        assert signed_in.post("/customers/add/", {"name": "X"}).status_code == 403
        assert signed_in.post(f"/customers/{customer.pk}/edit/", {"name": "X"}).status_code == 403
        customer.refresh_from_db()
        assert customer.name == "As it was"

    def test_a_customer_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).get("/customers/4711/edit/").status_code == 404

    def test_both_refuse_a_wrong_method(self, as_user, office):
        customer = CustomerFactory()
        assert as_user(office).delete("/customers/add/").status_code == 405
        assert as_user(office).put(f"/customers/{customer.pk}/edit/").status_code == 405


class TestNewLink:
    def test_the_office_makes_a_new_link(self, as_user, office):
        customer = CustomerFactory()
        answer = as_user(office).post(f"/customers/{customer.pk}/link/", follow=True)
        old = customer.link_token
        customer.refresh_from_db()
        assert customer.link_token != old
        assert customer.link_token in answer.content.decode()

    def test_it_needs_a_login(self, client):
        assert client.post(f"/customers/{CustomerFactory().pk}/link/").status_code == 302

    def test_a_customer_that_is_not_there_gives_404(self, as_user, office):
        assert as_user(office).post("/customers/4711/link/").status_code == 404

    def test_a_reader_cannot_renew_it(self, as_user, installer, visited):
        assert as_user(installer).post(f"/customers/{visited.pk}/link/").status_code == 403

    def test_it_refuses_a_get(self, as_user, office):
        assert as_user(office).get(f"/customers/{CustomerFactory().pk}/link/").status_code == 405
