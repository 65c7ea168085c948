"""Who asks for the papers beside the certificate, from where, and what they are told."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Document, DocumentKind, Job, Role
from tests.inspections.closing import job_closed, job_ready_to_begin

ASKED = {
    "care_sheet_request": DocumentKind.CARE_SHEET,
    "notice_plate_request": DocumentKind.NOTICE_PLATE,
    "flue_label_request": DocumentKind.FLUE_LABEL,
    "hand_over_request": DocumentKind.HAND_OVER,
}
BUTTONS = ("Make the care sheet", "Make the hand-over pack", "Make the flue label", "Make the notice plate")


@pytest.fixture
def closed(office, installer, inspector):
    """Return a function that works a job of a British house to its sign-off."""

    def make(**told) -> Job:
        told = {
            "site__country": "GB",
            "site__unit_system": "metric",
            "chimney__flue_type": "Twin-wall insulated stainless steel",
            "chimney__flue_category": "Solid fuel, dry",
            "chimney__suits_appliances": "Closed stoves",
            **told,
        }
        sign_off = job_closed(office=office, installer=installer, inspector=inspector, **told)
        return sign_off.record.job

    return make


def address(name: str, job: Job) -> str:
    return reverse(name, args=[job.pk])


def box(client: Client, job: Job) -> str:
    return client.get(reverse("document_list", args=[job.pk])).content.decode()


@pytest.mark.parametrize("name", ASKED)
def test_a_paper_is_asked_for_and_replaces_the_one_before(name, closed, as_user, office, installer):
    job = closed()
    for person in (office, installer):
        before = job.documents.filter(kind=ASKED[name]).count()
        asked = as_user(person).post(address(name, job), headers={"HX-Request": "true"})
        assert 'data-status="queued"' in asked.content.decode()
        assert job.documents.filter(kind=ASKED[name]).count() == before + 1
    assert "Replaced by a newer one" in box(as_user(office), job)


@pytest.mark.parametrize("name", ASKED)
def test_nobody_else_asks_for_a_paper(name, closed, turns_away):
    job = closed()
    count = Document.objects.count()
    assert Client().post(address(name, job)).url.startswith(reverse("account_login"))
    turns_away(address(name, job), method="post", forbidden="inspector")
    assert Document.objects.count() == count


def test_without_htmx_it_goes_back_to_the_job(closed, as_user, office):
    job = closed()
    response = as_user(office).post(address("flue_label_request", job))
    assert response.url == reverse("job_detail", args=[job.pk])


@pytest.mark.parametrize(
    ("told", "offered"),
    [
        ({}, BUTTONS),
        ({"site__country": "US", "site__unit_system": "imperial"}, BUTTONS[:3]),
        ({"kind": "annual sweep"}, BUTTONS[:1]),
    ],
)
def test_a_closed_job_offers_what_its_house_needs(told, offered, closed, as_user, office):
    page = box(as_user(office), closed(**told))
    assert [one for one in BUTTONS if one in page] == list(offered)
    assert "Make the work pack" not in page


def test_an_open_job_offers_the_work_pack_and_the_care_sheet(office, technician, as_user):
    page = box(as_user(office), job_ready_to_begin(office=office, crew=technician.crew))
    assert "Make the work pack" in page
    assert [one for one in BUTTONS if one in page] == ["Make the care sheet"]


def test_an_inspector_is_offered_nothing(closed, as_user, inspector):
    assert inspector.role == Role.INSPECTOR
    page = box(as_user(inspector), closed())
    assert not [one for one in BUTTONS if one in page]


def test_a_plate_that_cannot_be_made_says_what_is_missing_and_where(closed, as_user, office):
    job = closed(chimney__flue_category="")
    page = (
        as_user(office)
        .post(address("notice_plate_request", job), headers={"HX-Request": "true"})
        .content.decode()
    )
    assert "Missing: the category of the flue" in page
    assert "under Listings, Chimneys" in page
    assert not job.documents.filter(kind=DocumentKind.NOTICE_PLATE).exists()


def test_what_a_plate_lacks_is_entered_at_the_chimney(closed, as_user, office):
    chimney = closed(chimney__flue_category="").installation.chimney
    page = as_user(office).get(reverse("chimney_edit", args=[chimney.pk])).content.decode()
    for label in (
        "For the notice plate",
        "Type of flue or liner",
        "Category of the flue",
        "Types of appliance it suits",
    ):
        assert label in page
