"""Anybody with a certificate learns whether it counts, and nothing else."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from inspections.models import Certificate
from inspections.services.certificates import certificate_issue, certificate_withdraw
from inspections.views import verify
from jobs.models import Customer, Document, Shop, Site
from jobs.services.documents import document_content
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.inspections.sealed import rendered
from tests.paper import Paper
from tests.seals import pdfsig, plain_pdf

PRIVATE = ("Maren", "Holt", "Lantern Lane", "Millbrook", "Ivo", "Petra", "J-0")


@pytest.fixture
def certificate(office, installer, inspector) -> Certificate:
    cache.clear()
    Shop.current()
    Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
    sign_off = job_closed(
        office=office, installer=installer, inspector=inspector, kind="annual sweep",
        site__customer__name="Maren Holt", site__street="4 Lantern Lane",
    )  # fmt: skip
    return sign_off.certificates.get()


@pytest.fixture
def content(certificate) -> bytes:
    return rendered(certificate)


def page(certificate: Certificate) -> str:
    return reverse("verify_certificate", args=[certificate.verify_code])


def read(path: str, status: int = 200, **told) -> str:
    response = Client().get(path, **told)
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def check(path: str, content: bytes, status: int = 200, name: str = "certificate.pdf") -> str:
    cache.clear()
    sent = {"paper": SimpleUploadedFile(name, content, "application/pdf")}
    response = Client(enforce_csrf_checks=True).post(path, sent)
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def again(certificate: Certificate, by) -> Certificate:
    return certificate_issue(
        sign_off=certificate.sign_off, by=by, now=NOW + timedelta(days=2), supersedes=certificate,
        reason="Maren Holt was written wrong.",
    )  # fmt: skip


# The states


def test_a_certificate_that_counts_is_genuine(certificate, content):
    text = read(page(certificate))
    for words in ("Genuine", "FW-000001 counts.", "Annual sweep", "4 May 2026", "Lantern Hill Stoves"):
        assert words in text
    assert certificate.document.sha256 in text


def test_a_superseded_certificate_names_the_one_that_counts(certificate, inspector):
    second = again(certificate, inspector)
    third = again(second, inspector)
    text = read(page(certificate))
    assert "Superseded" in text
    assert f"{third.serial} has taken its place" in text
    assert "Genuine" in read(page(third))


def test_a_withdrawn_certificate_says_so_and_not_why(certificate, inspector):
    certificate_withdraw(
        certificate=certificate,
        by=inspector,
        reason="Maren Holt moved the stove.",
        now=NOW + timedelta(days=3),
    )
    text = read(page(certificate))
    assert "Withdrawn" in text
    assert "withdrew it on 7 May 2026" in text
    assert "moved the stove" not in text
    new = again(certificate, inspector)
    assert f"{new.serial} has taken its place" in read(page(certificate))


@pytest.mark.parametrize(
    "code", ["FW-000001-0000-0000-0000-0000", "FW-000001", "nonsense", "FW-1-\x00", "é" * 40]
)
def test_a_code_nobody_has_is_unknown(certificate, code):
    text = read(reverse("verify_certificate", args=[code]), 404)
    assert "Unknown" in text
    assert "(802) 555-0142" in text


def test_the_serial_alone_opens_nothing_and_a_key_of_another_neither(certificate, inspector):
    other = again(certificate, inspector)
    mixed = f"{certificate.serial}-{other.verify_key}"
    assert "Unknown" in read(reverse("verify_certificate", args=[mixed]), 404)


def test_no_page_of_it_shows_anything_private(certificate, content, inspector):
    said = [read(page(certificate)), check(page(certificate), content), check(reverse("verify"), content)]
    again(certificate, inspector)
    said += [read(page(certificate)), check(page(certificate), content + b" ")]
    assert Customer.objects.get().name == "Maren Holt"
    assert Site.objects.get().street == "4 Lantern Lane"
    for text in said:
        for words in PRIVATE:
            assert words not in text


def test_what_is_printed_leads_to_the_page(certificate, content, tmp_path):
    text = Paper(content, tmp_path).page(1)
    assert certificate.verify_key[-4:] in text
    assert certificate.document.context["verify"]["address"].endswith(page(certificate))


# Looking a code up


@pytest.mark.parametrize(
    "change", [str, str.lower, lambda code: code.replace("-", " "), lambda code: f" {code} "]
)
def test_a_code_typed_as_people_type_leads_to_its_page(certificate, change):
    response = Client().get(reverse("verify"), {"code": change(certificate.verify_code)})
    assert response.status_code == 302
    assert response.url == page(certificate)


@pytest.mark.parametrize(("code", "words"), [("", "Type the code"), ("FW-000001", "That is no whole code")])
def test_half_a_code_is_refused_with_what_to_do(certificate, code, words):
    assert words in read(reverse("verify"), 422, query_params={"code": code})


# Files


def test_the_file_itself_is_unchanged_to_the_byte_and_its_seal_holds(certificate, content):
    for path in (page(certificate), reverse("verify")):
        text = check(path, content)
        assert "Unchanged" in text
        assert "Byte for byte, this is the file this shop issued as FW-000001." in text
        assert "the seal covers the whole file" in text
        assert "Genuine" in text


def test_a_byte_changed_anywhere_is_found_by_the_page(certificate, content, tmp_path):
    start = content.rindex(b"/Contents <")
    end = content.index(b">", start)
    chance = random.Random(8)
    under_the_seal = [chance.randrange(start - 400) for _ in range(4)] + [len(content) - 3]
    in_the_empty_room_of_the_seal = end - 10
    for place in (*under_the_seal, in_the_empty_room_of_the_seal):
        altered = bytearray(content)
        altered[place] ^= 0x01
        text = check(page(certificate), bytes(altered))
        assert "Unchanged" not in text, place
        if place in under_the_seal:
            assert "This is not a file this shop issued." in text, place
            assert "Signature is Valid" not in pdfsig(bytes(altered), tmp_path), place
        else:
            assert "no certificate on file is this file to the byte" in text


def test_something_added_is_told_apart_from_something_altered(certificate, content):
    assert "something was added to the file" in check(page(certificate), content + b"\n")
    altered = content[:900] + bytes([content[900] ^ 1]) + content[901:]
    assert "was altered after it was sealed" in check(page(certificate), altered)


def test_another_certificates_file_is_not_the_one_asked_about(certificate, content, inspector):
    new = again(certificate, inspector)
    text = check(page(new), content)
    assert "Another certificate" in text
    assert "It is not FW-000002, which you asked about." in text


def test_a_superseded_file_is_unchanged_and_no_longer_counts(certificate, content, inspector):
    again(certificate, inspector)
    text = check(reverse("verify"), content)
    assert "Unchanged" in text
    assert "FW-000001 no longer counts." in text


def test_a_pdf_of_somebody_else_is_not_from_this_shop(certificate, content):
    assert "Not from this shop" in check(reverse("verify"), plain_pdf())


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (b"", "That file is empty"),
        (b"\x89PNG\r\n\x1a\n" + bytes(100), "That file is no PDF"),
        (b"%PDF-" + bytes(12 * 1024 * 1024), "larger than 12 MB"),
    ],
    ids=["empty", "a picture", "too large"],
)
def test_a_file_that_cannot_be_a_certificate_is_refused(certificate, sent, words):
    assert words in check(page(certificate), sent, 422)


def test_a_hostile_file_is_refused_in_words_and_nothing_is_kept(certificate, content):
    before = Document.objects.count()
    text = check(reverse("verify"), b"%PDF-1.7\n" + b"<<" * 50_000, name="../../etc/passwd<script>.pdf")
    assert "It cannot be read as a PDF" in text or "It could not be read to its end" in text
    assert "<script>" not in text
    assert Document.objects.count() == before
    assert document_content(document=certificate.document) == content


def test_no_file_at_all_is_asked_for(certificate):
    cache.clear()
    response = Client().post(page(certificate))
    assert response.status_code == 422
    assert "Choose the PDF file first." in response.content.decode()


# Open, but not without limit


def test_it_needs_no_login_and_leaves_no_trace_in_other_places(certificate):
    response = Client().get(page(certificate))
    assert response.status_code == 200
    assert response.headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in response.headers["X-Robots-Tag"]
    assert "no-store" in response.headers["Cache-Control"]


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(certificate, method):
    for path in (page(certificate), reverse("verify")):
        assert getattr(Client(), method)(path).status_code == 405


def test_who_asks_too_often_is_asked_to_wait(certificate, monkeypatch):
    monkeypatch.setattr(verify, "MOST_READS", 3)
    answers = [Client().get(reverse("verify_certificate", args=["guess"])) for _ in range(5)]
    # A minute may turn in between.
    assert answers[-1].status_code == 429 or [one.status_code for one in answers].count(404) <= 4
    assert "wait" in Client().get(page(certificate)).content.decode().lower()


def test_files_are_counted_apart_and_fewer_are_let_through(certificate, monkeypatch):
    monkeypatch.setattr(verify, "MOST_FILES", 1)
    codes = [Client().post(page(certificate)).status_code for _ in range(3)]
    assert codes[-1] == 429
    assert Client().get(page(certificate)).status_code == 200
