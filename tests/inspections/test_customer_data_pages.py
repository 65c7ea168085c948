"""Pages about what is kept of a customer: everything in one file, past keeping, erasing."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.utils import timezone

from jobs.models import Customer, CustomerExport, Erasure, Shop
from tests.factories import NOW, CustomerFactory, JobFactory, VisitFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db
LONG_AGO = datetime(2010, 3, 1, tzinfo=UTC)


@pytest.fixture
def customer(technician) -> Customer:
    """Somebody whose one job was closed long ago; the installer's crew did it."""
    customer = CustomerFactory(name="Quillon Ember")
    job = VisitFactory(crew=technician.crew, job__installation__site__customer=customer).job
    type(job).objects.filter(pk=job.pk).update(status="closed", closed_at=LONG_AGO, created_at=LONG_AGO)
    Customer.objects.filter(pk=customer.pk).update(created_at=LONG_AGO)
    return Customer.objects.get()


class TestData:
    @pytest.fixture
    def url(self, customer) -> str:
        return f"/customers/{customer.pk}/data/"

    def test_it_works(self, as_user, office, customer, url):
        page = as_user(office).get(url).content.decode()
        assert "Put it together" in page
        assert "The time of keeping has passed" in page
        assert f'href="{url}"' in as_user(office).get(f"/customers/{customer.pk}/").content.decode()

    def test_an_export_is_asked_for_and_stands_there(self, as_user, office, customer, url):
        response = as_user(office).post(f"{url}export/", follow=True)
        assert CustomerExport.objects.get().asked_by == office
        page = response.content.decode()
        assert 'data-status="queued"' in page
        assert "every 3s" in page
        # htmx asks for the box alone.
        part = as_user(office).get(url, headers={"HX-Request": "true"}).content.decode()
        assert "<html" not in part
        again = as_user(office).post(f"{url}export/", follow=True).content.decode()
        assert "being put together already" in again

    def test_it_needs_a_login(self, url):
        needs_login(url)
        needs_login(f"{url}export/")

    def test_somebody_of_another_role_is_told_so(self, as_user, stranger, installer, inspector, url):
        for person in (stranger, installer, inspector):
            forbids(as_user(person), url)
            forbids(as_user(person), f"{url}export/", "post")
        assert not CustomerExport.objects.exists()

    def test_somebody_who_is_not_there_is_not_found(self, as_user, office):
        hides(as_user(office), "/customers/999999/data/")
        hides(as_user(office), "/customers/999999/data/export/", "post")
        hides(as_user(office), "/exports/999999/")

    def test_a_wrong_method_is_refused(self, as_user, office, url):
        refuses_method(as_user(office), url, "post")
        refuses_method(as_user(office), f"{url}export/", "get")
        export = CustomerExport.objects.create(
            customer=Customer.objects.get(), asked_by=office, requested_at=NOW, due_at=NOW
        )
        refuses_method(as_user(office), f"/exports/{export.pk}/", "post")
        forbids(as_user(office), f"/customers/{Customer.objects.get().pk}/erase/")


class TestErase:
    @pytest.fixture
    def url(self, customer) -> str:
        return f"/customers/{customer.pk}/erase/"

    def test_it_works(self, as_user, owner, customer, url):
        client = as_user(owner)
        page = client.get(url).content.decode()
        assert "What goes, for good" in page
        assert 'name="override"' not in page
        response = client.post(url, {"reason": "Asked for.", "name": "Quillon Ember"}, follow=True)
        assert "Erased on" in response.content.decode()
        assert Erasure.objects.get().by == owner
        customer.refresh_from_db()
        assert customer.erased_at is not None
        # Asked for again, it says what was done.
        assert client.get(url).url == f"/customers/{customer.pk}/data/"
        for path in (f"/customers/{customer.pk}/", f"/customers/{customer.pk}/data/"):
            page = client.get(path).content.decode()
            assert "Erased on" in page
            assert "Quillon" not in page

    def test_a_wrong_name_keeps_what_was_typed(self, as_user, owner, customer, url):
        response = as_user(owner).post(url, {"reason": "Asked for.", "name": "Quillon"})
        assert response.status_code == 422
        assert "as it stands here: Quillon Ember" in response.content.decode()
        assert "Asked for." in response.content.decode()
        assert not Erasure.objects.exists()

    def test_before_its_time_it_asks_why(self, as_user, owner, customer, url):
        Shop.current()
        Shop.objects.update(keep_years=60)
        typed = {"reason": "Asked for.", "name": "Quillon Ember"}
        response = as_user(owner).post(url, {**typed, "override": ""})
        assert response.status_code == 422
        assert not Erasure.objects.exists()
        assert as_user(owner).post(url, {**typed, "override": "They insist."}).status_code == 302

    def test_it_says_what_stands_in_the_way(self, as_user, owner, customer, url):
        job = JobFactory(installation__site__customer=customer)
        page = as_user(owner).get(url).content.decode()
        assert "Not yet" in page
        assert job.number in page
        response = as_user(owner).post(url, {"reason": "x", "override": "y", "name": "Quillon Ember"})
        assert response.status_code == 422
        assert "Not yet" in response.content.decode()
        assert not Erasure.objects.exists()

    def test_it_needs_a_login(self, url):
        needs_login(url)

    def test_the_office_and_others_may_not(self, as_user, office, installer, inspector, url):
        for person in (office, installer, inspector):
            forbids(as_user(person), url)
            forbids(as_user(person), url, "post")
        assert not Erasure.objects.exists()

    def test_somebody_who_is_not_there_is_not_found(self, as_user, owner):
        hides(as_user(owner), "/customers/999999/erase/")

    def test_a_wrong_method_is_refused(self, as_user, owner, url):
        refuses_method(as_user(owner), url, "put")


class TestPastKeeping:
    url = "/customers/past-keeping/"

    def test_it_lists_whom_nothing_was_done_for_long_enough(self, as_user, office, owner, customer):
        recent = CustomerFactory(name="Wren Recent")
        job = JobFactory(installation__site__customer=recent, created_at=timezone.now())
        still_open = CustomerFactory(name="Opal Open")
        JobFactory(installation__site__customer=still_open, created_at=LONG_AGO)
        Customer.objects.filter(pk__in=[recent.pk, still_open.pk]).update(created_at=LONG_AGO)
        CustomerFactory(name="Nell New")
        page = as_user(office).get(self.url).content.decode()
        assert "Quillon Ember" in page
        for name in ("Wren Recent", "Opal Open", "Nell New"):
            assert name not in page
        # A customer who only asked once, long ago, and never had a job.
        type(job).objects.filter(pk=job.pk).delete()
        assert "Wren Recent" in as_user(office).get(self.url).content.decode()
        assert "/erase/" not in page
        assert f"/customers/{customer.pk}/erase/" in as_user(owner).get(self.url).content.decode()

    def test_nobody_is_erased_by_itself(self, customer):
        from inspections.tasks import drop_what_is_past_keeping, pick_up_left_customers  # noqa: PLC0415

        drop_what_is_past_keeping()
        pick_up_left_customers()
        customer.refresh_from_db()
        assert customer.erased_at is None

    def test_the_erased_are_not_listed_and_an_empty_list_says_so(self, as_user, office, customer):
        Customer.objects.update(erased_at=NOW)
        assert "Nobody yet" in as_user(office).get(self.url).content.decode()

    def test_it_needs_a_login(self):
        needs_login(self.url)

    def test_somebody_of_another_role_is_told_so(self, as_user, installer, inspector):
        forbids(as_user(installer), self.url)
        forbids(as_user(inspector), self.url)

    def test_a_wrong_method_is_refused(self, as_user, office):
        refuses_method(as_user(office), self.url, "post")
