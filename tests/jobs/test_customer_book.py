"""Asking for a visit from the private page."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from jobs.errors import JobsError
from jobs.models import (
    BookingRequest,
    Country,
    Installation,
    JobKind,
    JobStatus,
    OutgoingMail,
    ServiceKind,
    Shop,
)
from jobs.queries.services import service_rows
from jobs.services.bookings import service_book
from jobs.services.wishes import booking_ask
from tests.factories import NOW, InstallationFactory, JobFactory

pytestmark = pytest.mark.django_db


def house(country: str = Country.US) -> Installation:
    made = InstallationFactory(site__country=country, site__customer__name="Ada Ashdown")
    for kind in ServiceKind:
        made.services.create(
            kind=kind, last_done_on=date(2025, 5, 4), next_due_on=date(2026, 6, 4), source={}
        )
    return made


@pytest.fixture
def installation() -> Installation:
    return house()


def address(installation: Installation, of: Installation | None = None) -> str:
    return reverse("customer_book", args=[(of or installation).site.customer.link_token, installation.pk])


def ask(installation: Installation, *services: str, wish: str = "Tuesdays"):
    return Client(enforce_csrf_checks=True).post(address(installation), {"services": services, "wish": wish})


def test_the_form_offers_what_is_not_booked(installation):
    page = Client().get(address(installation)).content.decode()
    assert "Chimney sweep with the yearly inspection" in page
    assert 'value="sweep"' in page
    assert "checked" in page


def test_a_wish_is_written_down_and_the_office_gets_a_mail(installation):
    Shop.objects.update_or_create(pk=1, defaults={"email": "office@lantern.example"})
    response = ask(installation, "sweep", wish="Tuesdays after 2")
    assert response.status_code == 302
    wish = BookingRequest.objects.get()
    assert (wish.installation, wish.service, wish.wish) == (installation, "sweep", "Tuesdays after 2")
    mail = OutgoingMail.objects.get()
    assert mail.to == "office@lantern.example"
    assert mail.subject == "Ada Ashdown asks for a visit: chimney sweep"
    assert mail.headers["Reply-To"] == installation.site.customer.email
    for words in ("Tuesdays after 2", reverse("service_list"), str(installation.site)):
        assert words in mail.text
        assert words in mail.html


def test_without_a_mail_address_of_the_shop_its_office_people_get_the_mail(
    installation, office, owner, installer
):
    ask(installation, "sweep")
    assert set(OutgoingMail.objects.values_list("to", flat=True)) == {office.email, owner.email}


def test_the_page_then_says_that_it_is_asked_for(installation):
    page = ask(installation, "sweep")
    shown = Client().get(page["Location"]).content.decode()
    assert shown.count("Asked for.") == 2
    assert "We call you" in shown
    assert address(installation) not in shown


def test_asking_again_adds_nothing(installation):
    ask(installation, "sweep")
    response = ask(installation, "sweep")
    assert response.status_code == 200
    assert "asked for or booked already" in response.content.decode()
    assert BookingRequest.objects.count() == 1


def test_a_click_that_came_second_is_refused_with_a_reason(installation):
    told = {"installation": installation, "services": ["sweep"], "wish": "", "now": NOW}
    booking_ask(**told)
    with pytest.raises(JobsError) as refusal:
        booking_ask(**told)
    assert refusal.value.code == "already_asked"
    assert BookingRequest.objects.count() == 1


# Common practice, from memory: in the US and Canada the yearly sweep takes a level 1 inspection with it.
@pytest.mark.parametrize(
    ("country", "asked_for"),
    [(Country.US, {"sweep"}), (Country.CA, {"sweep"}), (Country.GB, {"sweep", "inspection"})],
)
def test_both_asked_for_make_one_request_where_the_sweep_inspects(country, asked_for):
    ask(house(country), "sweep", "inspection")
    assert set(BookingRequest.objects.values_list("service", flat=True)) == asked_for
    assert OutgoingMail.objects.count() == 0


def test_what_is_booked_already_is_not_offered():
    installation = house(Country.GB)
    JobFactory(installation=installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.PLANNED)
    assert 'value="sweep"' not in Client().get(address(installation)).content.decode()
    response = ask(installation, "sweep")
    assert response.status_code == 200
    assert "not one of the available choices" in response.content.decode()
    assert not BookingRequest.objects.exists()


def test_nothing_ticked_is_explained_and_the_wish_is_kept(installation):
    response = ask(installation, wish="Any Friday in June")
    page = response.content.decode()
    assert response.status_code == 200
    assert "Tick what the visit is for." in page
    assert "Any Friday in June" in page


def test_a_wish_that_is_too_long_is_refused(installation):
    response = ask(installation, "sweep", wish="x" * 1001)
    assert response.status_code == 200
    assert not BookingRequest.objects.exists()


def test_before_anything_is_installed_there_is_nothing_to_book():
    installation = InstallationFactory()
    assert "nothing is due here yet" in Client().get(address(installation)).content.decode()
    assert ask(installation, "sweep").status_code == 200
    assert not BookingRequest.objects.exists()


def test_another_customers_installation_is_not_found(installation):
    other = house()
    client = Client()
    assert client.get(address(other, of=installation)).status_code == 404
    assert client.post(address(other, of=installation), {"services": ["sweep"]}).status_code == 404
    assert not BookingRequest.objects.exists()


def test_asking_too_often_is_slowed_down(installation, monkeypatch):
    monkeypatch.setattr("jobs.private_link.MOST_WRITES", 2)
    assert [ask(installation).status_code for _ in range(4)][-1] == 429


# Common practice, from memory: see above; the office's list and its buttons follow the same rule.
@pytest.mark.parametrize(("country", "counts"), [(Country.US, True), (Country.GB, False)])
def test_an_open_sweep_counts_for_the_inspection_in_the_office_too(country, counts, office):
    installation = house(country)
    sweep = JobFactory(installation=installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.PLANNED)
    inspection = installation.services.get(kind=ServiceKind.INSPECTION)
    (row,) = service_rows([inspection], today=date(2026, 5, 4))
    assert (row.job == sweep) is counts
    if counts:
        with pytest.raises(JobsError, match="already open"):
            service_book(service=inspection, by=office, now=NOW)
    else:
        assert service_book(service=inspection, by=office, now=NOW).kind == JobKind.INSPECTION_1
