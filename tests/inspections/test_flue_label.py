"""The label at the flue: who, when, what, how far off, and a code that leads to the certificate."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.conf import settings

from inspections.queries.flue_label import certificate_in_force, label_part
from inspections.services.certificates import certificate_issue, certificate_withdraw
from inspections.services.hand_over import flue_label_request
from jobs.errors import JobsError
from jobs.models import Document, Job, Shop
from jobs.services.documents import document_content, document_render
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.paper import FONTS, Paper
from tests.qr import code_on_page

LATER = NOW + timedelta(days=1)


@pytest.fixture
def closed(office, installer, inspector):
    """Return a function that works a job to its sign-off."""

    def make(**told) -> Job:
        Shop.current()
        Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
        sign_off = job_closed(office=office, installer=installer, inspector=inspector, **told)
        return Job.objects.get(pk=sign_off.record.job_id)

    return make


@pytest.fixture
def label(closed, tmp_path):
    """Return a function that makes a label and opens it."""

    def make(**told) -> Paper:
        document = flue_label_request(job=closed(**told), now=NOW)
        assert document_render(pk=document.pk, now=LATER), Document.objects.get(pk=document.pk).last_error
        document.refresh_from_db()
        return Paper(document_content(document=document), tmp_path)

    return make


def test_it_says_who_when_and_what_and_leads_to_the_certificate(label):
    paper = label(serial_number="H36-20714", site__street="4 Lantern Lane")
    text = paper.text
    for words in (
        "Sweep and inspect at least once a year", "Burn wood only", "Lantern Hill Stoves", "(802) 555-0142",
        "May 4, 2026", "Tarn Hollow", "Sheet TH-3, 2nd edition", "H36-20714", "Grey Heron", "6 in inside",
        "Sheet GH-9, 1st edition", "4 Lantern Lane", "FW-000001",
    ):  # fmt: skip
        assert words in text
    assert paper.pages == 1
    assert paper.fonts <= FONTS
    job = Job.objects.get()
    certificate = certificate_in_force(job)
    assert code_on_page(paper.path) == f"{settings.SITE_URL}/verify/{certificate.verify_code}/"


def test_least_clearances_are_the_listings_own_and_never_shown_smaller(closed):
    job = closed(site__unit_system="metric", site__country="CA", appliance__clearance_above=None)
    rows = {
        row["label"]: row["figure"]
        for row in label_part(certificate=certificate_in_force(job), job=job)["clearances"]
    }
    # 14 in are 355.6 mm, 16 in 406.4, 18 in 457.2, 2 in 50.8, each shown no smaller than it is.
    assert rows == {
        "Behind": "356 mm", "At the sides": "407 mm", "In front": "1220 mm", "Pipe": "458 mm",
        "Chimney": "51 mm",
    }  # fmt: skip


def test_a_clearance_the_sheet_does_not_give_is_not_made_up(closed):
    job = closed(appliance__clearance_side=None, kind="annual sweep")
    Job.objects.update(kind="repair")
    job.refresh_from_db()
    rows = {
        row["label"]: row["figure"]
        for row in label_part(certificate=certificate_in_force(job), job=job)["clearances"]
    }
    assert rows["At the sides"] == "see its sheet"


def test_long_names_still_make_one_face(label):
    paper = label(
        serial_number="SN " * 25, room="Long room " * 7,
        appliance__maker="Foundry " * 9, appliance__listing_reference="Sheet, " * 20,
        chimney__maker="Chimney works " * 5, chimney__listing_reference="Sheet, " * 20,
    )  # fmt: skip
    assert paper.pages == 1
    assert "FW-000001" in paper.text


def test_after_a_new_certificate_the_label_leads_to_that_one(closed, inspector):
    job = closed()
    first = certificate_in_force(job)
    second = certificate_issue(
        sign_off=first.sign_off, by=inspector, now=LATER, supersedes=first, reason="Name corrected."
    )
    assert flue_label_request(job=job, now=LATER).context["label"]["serial"] == second.serial


def test_a_withdrawn_certificate_has_no_label(closed, inspector):
    job = closed()
    certificate_withdraw(certificate=certificate_in_force(job), by=inspector, reason="In error.", now=LATER)
    with pytest.raises(JobsError) as refusal:
        flue_label_request(job=job, now=LATER)
    assert refusal.value.code == "no_certificate"
    assert "issue a new certificate" in refusal.value.sentence


@pytest.mark.parametrize(("kind", "code"), [("annual sweep", "flue_unchanged")])
def test_work_that_left_the_flue_as_it_was_has_no_label(kind, code, closed):
    with pytest.raises(JobsError) as refusal:
        flue_label_request(job=closed(kind=kind), now=LATER)
    assert refusal.value.code == code
