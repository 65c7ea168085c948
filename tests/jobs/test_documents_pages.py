"""Who sees, asks for and retries papers."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Document, DocumentKind, JobStatus
from jobs.queries.documents import documents_for_customer
from jobs.services import papers
from jobs.services.documents import document_render, document_request
from tests.factories import NOW, JobFactory, VisitFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method
from tests.seals import plain_pdf

PDF = b"%PDF-1.7 a paper"


@pytest.fixture
def job(technician):
    job = JobFactory(kind="annual sweep", status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=technician.crew)
    return job


@pytest.fixture
def ask(job):
    def ask(**told) -> Document:
        asked = {"job": job, "kind": "work pack", "title": "Work pack J-0007", "for_customer": False, **told}
        return document_request(context={}, now=NOW, **asked)

    return ask


@pytest.fixture
def ready(ask, monkeypatch):
    """Return a function that makes a finished paper."""

    def make(**told) -> Document:
        # What is sealed must be a PDF.
        content = plain_pdf() if told.get("kind") == DocumentKind.CERTIFICATE else PDF
        monkeypatch.setattr(papers, "paper_render", lambda **_: content)
        document = ask(**told)
        document_render(pk=document.pk, now=NOW)
        document.refresh_from_db()
        return document

    return make


@pytest.fixture
def failed(ask) -> Document:
    document = ask()
    Document.objects.update(gave_up_at=NOW, last_error="A font is missing. Run bin/setup.", attempts=5)
    document.refresh_from_db()
    return document


def address(name: str, row) -> str:
    return reverse(name, args=[row.pk])


# The file


@pytest.mark.parametrize("who", ["owner", "office", "inspector", "installer"])
def test_a_paper_opens_in_place_for_everybody_of_the_job(who, ready, as_user, request):
    document = ready()
    response = as_user(request.getfixturevalue(who)).get(address("document_file", document))
    assert response.content == PDF
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="work-pack-j-0007.pdf"'
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-cache"


def test_a_paper_needs_a_login(ready):
    needs_login(address("document_file", ready()))


def test_another_crews_paper_does_not_exist(ready, as_user, stranger):
    hides(as_user(stranger), address("document_file", ready()))


def test_a_paper_cannot_be_posted_to(ready, as_user, office):
    refuses_method(as_user(office), address("document_file", ready()), "post")


def test_a_replaced_paper_says_so_before_it_opens(ready, as_user, installer):
    old, new = ready(), ready(title="Work pack J-0007, again")
    page = as_user(installer).get(address("document_file", old)).content.decode()
    assert "This paper has been replaced" in page
    assert address("document_file", new) in page
    response = as_user(installer).get(address("document_file", old) + "?old=yes")
    assert response.content == PDF
    assert "replaced" in response["Content-Disposition"]


def test_a_paper_not_ready_yet_sends_back_to_the_job_and_says_so(ask, job, as_user, office):
    response = as_user(office).get(address("document_file", ask()), follow=True)
    assert response.redirect_chain[0][0] == address("job_detail", job)
    assert "is not ready yet" in response.content.decode()


def test_an_altered_file_is_not_shown(ready, as_user, office):
    document = ready()
    with open(document.file.path, "ab") as file:
        file.write(b"!")
    response = as_user(office).get(address("document_file", document), follow=True)
    assert "its hash differs" in response.content.decode()


# The list


def test_the_list_says_with_a_word_where_each_paper_stands(ask, failed, ready, as_user, office):
    ready(title="Ready one")
    ask(title="Queued one")
    page = as_user(office).get(address("document_list", failed.job)).content.decode()
    for state in ("ready", "queued", "failed"):
        assert f'data-status="{state}"' in page
    assert "A font is missing. Run bin/setup." in page
    assert "Replaced by a newer one" in page


def test_the_list_asks_again_only_while_something_is_being_made(ask, ready, job, as_user, office):
    ready()
    assert "hx-trigger" not in as_user(office).get(address("document_list", job)).content.decode()
    ask()
    assert "every 3s" in as_user(office).get(address("document_list", job)).content.decode()


def test_the_list_needs_a_login(job):
    needs_login(address("document_list", job))


def test_another_crews_list_does_not_exist(job, as_user, stranger):
    hides(as_user(stranger), address("document_list", job))


def test_the_list_cannot_be_posted_to(job, as_user, office):
    refuses_method(as_user(office), address("document_list", job), "post")


# Asking for a work pack


@pytest.mark.parametrize("who", ["owner", "office", "installer"])
def test_a_work_pack_is_asked_for(who, job, as_user, request):
    response = as_user(request.getfixturevalue(who)).post(address("work_pack_request", job))
    assert response.status_code == 302
    assert job.documents.get().title == f"Work pack {job.number}"


def test_htmx_gets_the_list_with_the_pack_in_the_queue(job, as_user, office):
    response = as_user(office).post(address("work_pack_request", job), headers={"HX-Request": "true"})
    assert 'data-status="queued"' in response.content.decode()


def test_a_pack_that_cannot_be_made_says_why(as_user, office):
    job = JobFactory(status=JobStatus.ENQUIRY)
    client = as_user(office)
    page = client.post(address("work_pack_request", job), headers={"HX-Request": "true"}).content.decode()
    assert "has no plan yet" in page
    assert "has no plan yet" in client.post(address("work_pack_request", job), follow=True).content.decode()
    assert not Document.objects.exists()


def test_a_work_pack_needs_a_login(job):
    assert Client().post(address("work_pack_request", job)).status_code == 302
    assert not Document.objects.exists()


def test_nobody_packs_for_another_crews_job(job, as_user, stranger):
    hides(as_user(stranger), address("work_pack_request", job), "post")


def test_an_inspector_reads_and_does_not_pack(job, as_user, inspector):
    forbids(as_user(inspector), address("work_pack_request", job), "post")
    assert "Make the work pack" not in as_user(inspector).get(address("document_list", job)).content.decode()


def test_a_work_pack_is_not_asked_for_by_opening_an_address(job, as_user, office):
    refuses_method(as_user(office), address("work_pack_request", job), "get")


# Trying again


@pytest.mark.parametrize("who", ["owner", "office", "inspector"])
def test_a_failed_paper_is_tried_again(who, failed, as_user, request):
    client = as_user(request.getfixturevalue(who))
    assert "Try again" in client.get(address("document_list", failed.job)).content.decode()
    client.post(address("document_retry", failed))
    failed.refresh_from_db()
    assert (failed.gave_up_at, failed.attempts) == (None, 0)


def test_a_paper_that_has_not_failed_is_not_tried_again(ready, as_user, office):
    response = as_user(office).post(address("document_retry", ready()), follow=True)
    assert "has not failed" in response.content.decode()


def test_trying_again_needs_a_login(failed):
    assert Client().post(address("document_retry", failed)).status_code == 302
    failed.refresh_from_db()
    assert failed.gave_up_at


def test_an_installer_leaves_trying_again_to_the_office(failed, as_user, installer):
    forbids(as_user(installer), address("document_retry", failed), "post")


def test_a_paper_that_does_not_exist_cannot_be_tried_again(failed, as_user, office):
    assert as_user(office).post(reverse("document_retry", args=[failed.pk + 1])).status_code == 404


def test_trying_again_is_not_done_by_opening_an_address(failed, as_user, office):
    refuses_method(as_user(office), address("document_retry", failed), "get")


# The customer


def test_a_customer_sees_finished_papers_made_for_them_and_no_other(ready, ask, job):
    mine = ready(title="Certificate", kind="closing certificate", for_customer=True)
    ready(title="For the crew")
    ask(title="Not ready", for_customer=True)
    customer = job.installation.site.customer
    assert list(documents_for_customer(customer)) == [mine]
    assert not documents_for_customer(JobFactory().installation.site.customer).exists()
