"""Who was given what: a line each time bytes are given out, and none in the way of giving them out."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.models import Document, DocumentAccess, DocumentKind, Shop, User
from jobs.services.document_access import accesses_drop_old, paper_access_note
from tests.factories import NOW, CustomerFactory, VisitFactory
from tests.inspections.closing import photo_make
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db
CONTENT = b"%PDF-1.7 a paper"


@pytest.fixture
def paper(technician) -> Document:
    """A finished paper that the customer may read too."""
    job = VisitFactory(crew=technician.crew).job
    name = default_storage.save(f"documents/{job.pk}/1-a.pdf", ContentFile(CONTENT))
    return Document.objects.create(
        job=job, kind=DocumentKind.CERTIFICATE, title="Closing certificate FW-000001", context={},
        for_customer=True, requested_at=NOW, due_at=NOW, done_at=NOW, file=name,
        sha256=hashlib.sha256(CONTENT).hexdigest(),
    )  # fmt: skip


def the_line() -> DocumentAccess:
    return DocumentAccess.objects.get()


def test_staff_who_open_a_paper_are_noted_by_name(as_user, installer, paper):
    before = timezone.now()
    response = as_user(installer).get(f"/documents/{paper.pk}/")
    assert response.content == CONTENT
    line = the_line()
    assert (line.by, line.way, line.kind, line.document) == (installer, "page", "paper", paper)
    assert (line.customer, line.sha256) == (paper.job.installation.site.customer, paper.sha256)
    assert before <= line.at <= timezone.now()


def test_the_customer_is_noted_by_the_way_they_came(paper):
    token = paper.job.installation.site.customer.link_token
    path = f"/c/{token}/documents/{paper.pk}/"
    assert Client().head(path).status_code == 200
    assert not DocumentAccess.objects.exists()
    assert Client().get(path).content == CONTENT
    assert (the_line().by, the_line().way) == (None, "private link")


def test_no_address_and_no_browser_is_kept(paper):
    token = paper.job.installation.site.customer.link_token
    told = {"REMOTE_ADDR": "198.51.100.7", "HTTP_USER_AGENT": "Unusual/1.0"}
    Client().get(f"/c/{token}/documents/{paper.pk}/", **told)
    kept = repr(DocumentAccess.objects.values().get())
    assert "198.51" not in kept
    assert "Unusual" not in kept


@pytest.mark.parametrize("which", ["replaced", "altered", "not this crew"])
def test_what_is_not_given_out_is_not_noted(which, as_user, office, stranger, paper):
    person: User = office
    if which == "replaced":
        Document.objects.create(
            job=paper.job, kind=paper.kind, title="Newer", context={}, requested_at=NOW, due_at=NOW
        )
    elif which == "altered":
        with default_storage.open(paper.file.name, "wb") as file:
            file.write(b"something else")
    else:
        person = stranger
    as_user(person).get(f"/documents/{paper.pk}/")
    assert not DocumentAccess.objects.exists()


def test_the_original_of_a_photo_is_noted_and_its_copies_are_not(as_user, office, installer, paper):
    photo = photo_make(job=paper.job, by=installer, number=1)
    client = as_user(office)
    client.get(f"/photos/{photo.pk}/thumbnail/")
    client.get(f"/photos/{photo.pk}/print/")
    assert not DocumentAccess.objects.exists()
    response = client.get(f"/photos/{photo.pk}/original/")
    response.close()
    line = the_line()
    assert (line.kind, line.subject, line.by) == (
        "photo original", f"Photo {photo.pk} of {paper.job.number}", office,
    )  # fmt: skip
    # A browser that has it already is given no bytes.
    tag = response["ETag"]
    assert client.get(f"/photos/{photo.pk}/original/", headers={"If-None-Match": tag}).status_code == 304
    assert DocumentAccess.objects.count() == 1


def test_a_log_that_cannot_be_written_keeps_no_paper_back(as_user, office, paper, monkeypatch, caplog):
    def full(**told):
        raise DatabaseError("disk full")

    monkeypatch.setattr(DocumentAccess.objects, "create", full)
    assert as_user(office).get(f"/documents/{paper.pk}/").content == CONTENT
    assert "could not be noted" in caplog.text


def test_it_costs_one_insert(paper, office):
    paper = Document.objects.select_related("job__installation__site").get()
    with CaptureQueriesContext(connection) as queries:
        paper_access_note(document=paper, way="page", by=office, now=NOW)
    told = [one["sql"] for one in queries if not one["sql"].startswith(("SAVEPOINT", "RELEASE"))]
    assert [sql.split()[0] for sql in told] == ["INSERT"]


def test_a_line_is_never_changed(paper, office):
    """By the database itself, whoever asks."""
    paper_access_note(document=paper, way="page", by=office, now=NOW)
    with pytest.raises(IntegrityError), transaction.atomic():
        DocumentAccess.objects.update(subject="Something else")


def test_lines_go_when_they_are_older_than_the_shop_keeps_them(paper, office):
    Shop.current()
    for days in (0, 729, 732, 1094, 1097):
        paper_access_note(document=paper, way="page", by=office, now=NOW - timedelta(days=days))
    assert accesses_drop_old(now=NOW) == 1
    Shop.objects.update(access_log_years=2)
    assert accesses_drop_old(now=NOW) == 2
    assert DocumentAccess.objects.count() == 2


class TestPages:
    @pytest.fixture(params=["customers", "documents"])
    def url(self, request, paper) -> str:
        pk = paper.pk if request.param == "documents" else paper.job.installation.site.customer.pk
        return f"/{request.param}/{pk}/opened/"

    def test_it_shows_who_when_and_how(self, as_user, office, inspector, paper, url):
        paper_access_note(document=paper, way="page", by=inspector, now=NOW)
        paper_access_note(document=paper, way="private link", by=None, now=NOW)
        paper_access_note(document=paper, way="verify page", by=None, now=NOW)
        page = as_user(office).get(url).content.decode()
        for words in (
            "Petra Inspector",
            "Whoever has the customer’s link",
            "Whoever has the file",
            paper.title,
        ):
            assert words in page

    def test_it_shows_nothing_of_another_customer_and_a_page_at_a_time(self, as_user, office, paper, url):
        for _ in range(51):
            paper_access_note(document=paper, way="page", by=office, now=NOW)
        other = CustomerFactory()
        DocumentAccess.objects.create(
            customer=other, kind="export", way="page", by=office, subject="Export of others", at=NOW
        )
        first = as_user(office).get(url).content.decode()
        assert "Page 1 of 2" in first
        assert "Export of others" not in first
        assert as_user(office).get(f"{url}?page=2").content.decode().count("<tr>") == 2

    def test_it_needs_a_login(self, url):
        needs_login(url)

    def test_somebody_of_another_role_is_told_so(self, as_user, stranger, inspector, url):
        forbids(as_user(stranger), url)
        forbids(as_user(inspector), url)

    def test_what_is_not_there_is_not_found(self, as_user, office):
        hides(as_user(office), "/customers/999999/opened/")
        hides(as_user(office), "/documents/999999/opened/")

    def test_a_wrong_method_is_refused(self, as_user, office, url):
        refuses_method(as_user(office), url, "post")
