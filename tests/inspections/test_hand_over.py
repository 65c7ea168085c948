"""Everything a house is handed in one file: made at sign-off, a copy that says so, found again by page."""

from __future__ import annotations

import io
from datetime import timedelta
from xml.etree import ElementTree

import pypdf
import pytest
from django.urls import reverse

from inspections.errors import InspectionsError
from inspections.models import Certificate, SignOff
from inspections.services import signoff
from inspections.services.certificates import certificate_issue, certificate_withdraw
from inspections.services.hand_over import hand_over_request
from jobs.errors import JobsError
from jobs.models import Document, DocumentKind, Job, Permit, Shop
from jobs.queries.documents import documents_for_customer, paper_offers
from jobs.services.documents import document_content, document_render
from tests.factories import NOW
from tests.inspections.closing import INK, job_closed, job_ready_to_begin, work_through
from tests.inspections.proved import guards_off
from tests.paper import FONTS, Paper

LATER = NOW + timedelta(days=1)
SAID = {
    "chimney__flue_type": "Twin-wall insulated stainless steel",
    "chimney__flue_category": "Solid fuel, dry, withstands a soot fire",
    "chimney__suits_appliances": "Closed stoves for wood and mineral fuel",
}


@pytest.fixture
def closed(office, installer, inspector):
    """Return a function that works a job to its sign-off."""

    def make(**told) -> Job:
        Shop.current()
        Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
        sign_off = job_closed(office=office, installer=installer, inspector=inspector, **told)
        return Job.objects.get(pk=sign_off.record.job_id)

    return make


def pack_of(job: Job) -> Document:
    return job.documents.filter(kind=DocumentKind.HAND_OVER).order_by("-pk").first()


def content_of(document: Document) -> bytes:
    assert document_render(pk=document.pk, now=LATER), Document.objects.get(pk=document.pk).last_error
    document.refresh_from_db()
    return document_content(document=document)


def outlined(reader: pypdf.PdfReader) -> dict[str, int]:
    """Bookmarks of the first level and their pages, counted from one."""
    return {
        one.title: reader.get_destination_page_number(one) + 1
        for one in reader.outline
        if not isinstance(one, list)
    }


def test_a_new_installation_is_handed_over_in_the_transaction_that_signs_it_off(closed):
    job = closed()
    pack = pack_of(job)
    assert pack.for_customer
    assert pack.requested_at == Certificate.objects.get().issued_at
    assert pack.context["serial"] == Certificate.objects.get().serial


def test_no_pack_no_sign_off(office, installer, inspector, monkeypatch):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew)
    record = work_through(job=job, by=installer, inspector=inspector)

    def broken(**told):
        raise RuntimeError

    monkeypatch.setattr(signoff, "hand_over_request", broken)
    with pytest.raises(RuntimeError):
        signoff.record_sign_off(record=record, by=inspector, name="P", now=LATER, **INK)
    assert not SignOff.objects.exists()
    assert not Certificate.objects.exists()


def test_other_work_is_handed_over_only_when_somebody_asks(closed):
    job = closed(kind="repair")
    assert pack_of(job) is None
    hand_over_request(job=job, now=LATER)
    assert pack_of(job).context["plate"] is None


def test_it_holds_every_part_at_the_page_the_cover_and_the_bookmarks_say(closed, tmp_path):
    job = closed(site__country="GB", site__unit_system="metric", **SAID)
    Permit.objects.create(job=job, authority="Town of Millbrook Falls", number="B-118")
    content = content_of(hand_over_request(job=job, now=LATER))
    paper = Paper(content, tmp_path)
    assert paper.fonts <= FONTS
    pages = outlined(pypdf.PdfReader(io.BytesIO(content)))
    assert list(pages) == [
        "Your stove and its papers", "Closing certificate", "Looking after your stove",
        "Notice plate and flue label", "The work as it was planned", "Permits",
    ]  # fmt: skip
    cover = paper.page(1)
    for title, listed in (
        ("Closing certificate", "Closing certificate FW-000001, a copy"),
        ("Looking after your stove", "Looking after your stove"),
        ("Notice plate and flue label", "Notice plate and flue label"),
        ("The work as it was planned", "The work as it was planned"),
        ("Permits", "Permits"),
    ):
        assert f"{listed} {pages[title]}" in cover
        assert title in paper.page(pages[title])
    assert "everybody out, then 999" in cover
    assert "Never pour water" in paper.page(pages["Looking after your stove"] + 1)
    faces = paper.page(pages["Notice plate and flue label"])
    assert "Solid fuel, dry, withstands a soot fire" in faces
    assert "Sweep and inspect at least once a year" in faces
    assert "Town of Millbrook Falls, number B-118" in paper.page(pages["Permits"])


def test_the_certificate_in_it_says_on_every_page_that_it_is_a_copy(closed, tmp_path):
    content = content_of(pack_of(closed()))
    paper = Paper(content, tmp_path)
    pages = outlined(pypdf.PdfReader(io.BytesIO(content)))
    first, after = pages["Closing certificate"], pages["Looking after your stove"]
    assert "Copy. The sealed original is a file of its own" in paper.page(first)
    for page in range(first, after):
        assert "Copy of FW-000001" in paper.page(page)
    assert "Copy of" not in paper.page(after)


def test_it_is_a_tagged_pdf_a_3a_without_a_seal_or_a_record_of_its_own(closed):
    content = content_of(pack_of(closed()))
    reader = pypdf.PdfReader(io.BytesIO(content))
    root = reader.trailer["/Root"]
    packet = ElementTree.fromstring(root["/Metadata"].get_object().get_data())
    claims = {
        value
        for one in packet.iter()
        for name, value in one.attrib.items()
        if name.rpartition("/")[0].endswith("/pdfa/ns/id")
    }
    assert claims == {"3", "A"}
    assert root["/StructTreeRoot"]
    assert root["/Lang"] == "en-US"
    assert root["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    assert "/AcroForm" not in root
    assert "/AF" not in root


def test_its_copy_says_word_for_word_what_was_sealed(closed):
    job = closed()
    sealed = Certificate.objects.get().document.context
    pack = pack_of(job).context
    assert {name: pack[name] for name in sealed if name != "embedded"} == {
        name: value for name, value in sealed.items() if name != "embedded"
    }
    assert "embedded" not in pack


def test_a_plate_that_lacks_something_says_so_and_holds_nothing_up(closed, tmp_path):
    job = closed(site__country="GB", site__unit_system="metric")
    paper = Paper(content_of(pack_of(job)), tmp_path)
    assert "The notice plate is not made yet." in paper.text
    assert "the category of the flue" in paper.text


def test_the_day_of_the_installation_is_known_at_the_sign_off_already(closed):
    plate = pack_of(closed(site__country="GB", site__unit_system="metric", **SAID)).context["plate"]
    assert {"label": "Installed", "words": "4 May 2026"} in plate["rows"]


def test_the_customer_finds_it_on_the_private_page(closed, client):
    job = closed()
    content_of(pack_of(job))
    customer = job.installation.site.customer
    page = client.get(reverse("customer_page", args=[customer.link_token])).content.decode()
    assert "Hand-over pack J-" in page
    path = reverse("customer_document", args=[customer.link_token, pack_of(job).pk])
    assert client.get(path).content.startswith(b"%PDF-1.7")


def test_a_new_certificate_brings_a_new_pack(closed, inspector):
    job = closed()
    first = Certificate.objects.get()
    second = certificate_issue(
        sign_off=first.sign_off, by=inspector, now=LATER, supersedes=first, reason="Name corrected."
    )
    packs = job.documents.filter(kind=DocumentKind.HAND_OVER)
    assert packs.count() == 2
    assert pack_of(job).context["serial"] == second.serial


def test_a_new_certificate_of_a_job_without_a_pack_brings_none(closed, inspector):
    job = closed(kind="repair")
    first = Certificate.objects.get()
    certificate_issue(sign_off=first.sign_off, by=inspector, now=LATER, supersedes=first, reason="Corrected.")
    assert pack_of(job) is None


def test_a_withdrawn_certificate_takes_its_pack_with_it(closed, inspector):
    job = closed()
    content_of(pack_of(job))
    certificate_withdraw(certificate=Certificate.objects.get(), by=inspector, reason="In error.", now=LATER)
    assert pack_of(job).withdrawn_at == LATER
    with pytest.raises(JobsError) as refusal:
        hand_over_request(job=job, now=LATER)
    assert refusal.value.code == "no_certificate"
    assert documents_for_customer(job.installation.site.customer).get().withdrawn_at == LATER


def test_a_job_that_is_not_signed_off_has_nothing_to_hand_over(office, installer):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew)
    with pytest.raises(JobsError) as refusal:
        hand_over_request(job=job, now=LATER)
    assert refusal.value.code == "no_certificate"


def test_what_ended_in_a_report_is_handed_over_by_it_alone(closed):
    job = closed(kind="annual sweep")
    assert not {offer.address for offer in paper_offers(job)} & {"hand_over_request", "flue_label_request"}
    with pytest.raises(InspectionsError) as refused:
        hand_over_request(job=job, now=LATER)
    assert refused.value.code == "no_certificate"
    assert "ended in a report" in refused.value.sentence


def test_a_report_in_place_of_a_sweeps_earlier_certificate_ends_its_pack(closed, inspector):
    job = closed(kind="annual sweep")
    first = Certificate.objects.get()
    guards_off()
    Document.objects.filter(pk=first.document_id).update(kind=DocumentKind.CERTIFICATE)
    pack = hand_over_request(job=job, now=LATER)
    certificate_issue(sign_off=first.sign_off, by=inspector, now=LATER, supersedes=first, reason="Corrected.")
    assert Document.objects.get(pk=pack.pk).withdrawn_at == LATER
    assert job.documents.filter(kind=DocumentKind.HAND_OVER).count() == 1
