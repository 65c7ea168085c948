"""The private page: the own things by a link, no login, nothing of anybody else."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import pytest
from django.core.files.base import ContentFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import (
    BookingRequest,
    Document,
    DocumentKind,
    Installation,
    Job,
    JobKind,
    JobStatus,
    ServiceKind,
    ServiceSchedule,
    Shop,
)
from jobs.services.customers import customer_link_renew
from jobs.services.kept_files import file_keep
from tests.factories import InstallationFactory, JobFactory, VisitFactory

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.7 a paper"


@pytest.fixture
def installation() -> Installation:
    Shop.objects.update_or_create(pk=1, defaults={"name": "Lantern Stoves", "phone": "802 555 0142"})
    made = InstallationFactory(site__customer__name="Ada Ashdown", room="Living room")
    due = timezone.localdate() + timedelta(days=40)
    for kind in ServiceKind:
        ServiceSchedule.objects.create(
            installation=made,
            kind=kind,
            last_done_on=due - timedelta(days=365),
            next_due_on=due,
            source={"kind": "code", "reference": "NFPA 211", "edition": "2012", "interval_months": 12},
        )
    return made


def paper(
    installation: Installation, *, done: bool = True, for_customer: bool = True, job: Job | None = None
) -> Document:
    now = timezone.now()
    return Document.objects.create(
        job=job or JobFactory(installation=installation),
        kind=DocumentKind.CERTIFICATE,
        title="Closing certificate 2026-0007",
        context={},
        for_customer=for_customer,
        requested_at=now,
        due_at=now,
        done_at=now if done else None,
        file=file_keep(name="documents/t/certificate.pdf", content=PDF) if done else "",
        sha256=hashlib.sha256(PDF).hexdigest() if done else "",
    )


def token(installation: Installation) -> str:
    return installation.site.customer.link_token


def address(name: str, installation: Installation, *more: object) -> str:
    return reverse(name, args=[token(installation), *more])


def page(installation: Installation) -> str:
    response = Client().get(address("customer_page", installation))
    assert response.status_code == 200
    return response.content.decode()


def test_it_shows_what_is_due_and_why_without_a_login(installation):
    due = installation.services.first().next_due_on
    shown = page(installation)
    for words in (
        "Hello Ada Ashdown",
        "Chimney sweep",
        f"{due:%-d %B %Y}",
        "Due in 40 days",
        "NFPA 211 (2012)",
    ):
        assert words in shown


def test_it_says_when_something_is_overdue(installation):
    ServiceSchedule.objects.filter(kind="sweep").update(next_due_on=timezone.localdate() - timedelta(days=20))
    assert "Overdue" in page(installation)


def test_it_gives_cautions_and_care(installation):
    shown = page(installation)
    for words in ("Do not light it", "carbon monoxide alarm", "call 911", "20 % moisture"):
        assert words in shown


def test_it_shows_nothing_of_anybody_else(installation):
    other = InstallationFactory(site__customer__name="Ben Birch", site__street="1 Other Road", room="Cellar")
    paper(other)
    shown = page(installation)
    for words in ("Ben Birch", "Other Road", "Cellar", "2026-0007"):
        assert words not in shown


def test_a_customer_without_anything_is_told_what_will_come(installation):
    ServiceSchedule.objects.all().delete()
    customer = installation.site.customer
    installation.delete()
    shown = Client().get(reverse("customer_page", args=[customer.link_token])).content.decode()
    assert "Nothing is entered for you yet" in shown


def test_a_booked_visit_is_shown_instead_of_the_button(installation):
    job = JobFactory(installation=installation, kind=JobKind.ANNUAL_SWEEP, status=JobStatus.SCHEDULED)
    start = timezone.now() + timedelta(days=3)
    visit = VisitFactory(job=job, starts_at=start, ends_at=start + timedelta(hours=2))
    shown = page(installation)
    assert f"We come on {visit.local_start:%A, %-d %B %Y at %-I:%M %p}" in shown
    assert address("customer_book", installation, installation.pk) not in shown


# The Robots Exclusion of search engines and Referrer-Policy: the address itself is the key.
@pytest.mark.parametrize("right", [True, False])
def test_its_address_is_kept_out_of_indexes_referers_and_caches(installation, right):
    where = address("customer_page", installation) if right else reverse("customer_page", args=["wrong"])
    response = Client().get(where)
    assert response["Referrer-Policy"] == "no-referrer"
    assert "noindex" in response["X-Robots-Tag"]
    assert "no-store" in response["Cache-Control"]
    assert '<meta name="robots" content="noindex' in response.content.decode()


def test_it_sets_no_cookie(installation):
    client = Client()
    client.get(address("customer_page", installation))
    client.get(address("customer_book", installation, installation.pk))
    assert not client.cookies


@pytest.mark.parametrize(
    "name", ["customer_page", "customer_stop", "customer_start", "customer_book", "customer_document"]
)
def test_a_wrong_link_is_answered_kindly_with_404(name, installation):
    more = [installation.pk] if name in {"customer_book", "customer_document"} else []
    client = Client()
    for call in (client.get, client.post):
        response = call(reverse(name, args=["x" * 43, *more]))
        assert response.status_code == 404
        assert "There is nothing at this address" in response.content.decode()
        assert "802 555 0142" in response.content.decode()


def test_a_renewed_link_closes_the_old_one(installation):
    old = address("customer_page", installation)
    customer = customer_link_renew(customer=installation.site.customer)
    assert Client().get(old).status_code == 404
    assert Client().get(reverse("customer_page", args=[customer.link_token])).status_code == 200


def test_a_finished_paper_opens(installation):
    certificate = paper(installation)
    assert "Closing certificate 2026-0007" in page(installation)
    response = Client().get(address("customer_document", installation, certificate.pk))
    assert response.content == PDF
    assert response["Content-Type"] == "application/pdf"
    assert response["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("kept_back", [{"done": False}, {"for_customer": False}])
def test_a_paper_not_finished_or_not_for_customers_is_neither_listed_nor_opened(kept_back, installation):
    inside = paper(installation, **kept_back)
    assert "Closing certificate" not in page(installation)
    assert Client().get(address("customer_document", installation, inside.pk)).status_code == 404


def test_an_older_certificate_says_that_it_was_replaced(installation):
    first = paper(installation)
    paper(installation, job=first.job)
    assert page(installation).count("replaced by a newer one") == 1


def test_somebody_elses_paper_is_not_found(installation):
    other = paper(InstallationFactory())
    assert Client().get(address("customer_document", installation, other.pk)).status_code == 404


def test_a_paper_whose_file_was_altered_is_held_back_kindly(installation):
    certificate = paper(installation)
    storage = certificate.file.storage
    storage.delete(certificate.file.name)
    storage.save(certificate.file.name, ContentFile(b"%PDF forged"))
    response = Client().get(address("customer_document", installation, certificate.pk))
    assert response.status_code == 503
    assert "not at hand" in response.content.decode()
    assert b"forged" not in response.content


@pytest.mark.parametrize(
    ("name", "method"),
    [
        ("customer_page", "post"),
        ("customer_document", "post"),
        ("customer_start", "get"),
        ("customer_stop", "put"),
        ("customer_book", "delete"),
    ],
)
def test_a_wrong_method_is_refused(name, method, installation):
    more = {"customer_book": [installation.pk], "customer_document": [paper(installation).pk]}.get(name, [])
    assert getattr(Client(), method)(address(name, installation, *more)).status_code == 405


def test_asking_too_often_is_slowed_down(installation, monkeypatch):
    monkeypatch.setattr("jobs.private_link.MOST_READS", 3)
    client = Client()
    answers = [client.get(reverse("customer_page", args=["guess"])).status_code for _ in range(5)]
    assert answers[:3] == [404, 404, 404]
    assert answers[4] == 429
    response = client.get(address("customer_page", installation))
    assert response.status_code == 429
    assert int(response["Retry-After"]) > 0
    assert "802 555 0142" in response.content.decode()
    assert Client(REMOTE_ADDR="198.51.100.7").get(address("customer_page", installation)).status_code == 200


def test_no_staff_role_is_needed_or_of_use(installation, installer, as_user):
    assert as_user(installer).get(address("customer_page", installation)).status_code == 200
    assert BookingRequest.objects.count() == 0
