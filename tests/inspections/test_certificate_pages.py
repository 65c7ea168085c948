"""Who looks at certificates and who issues one again."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Certificate
from jobs.services.documents import document_render
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.jobs.five import forbids, hides, needs_login, refuses_method

REASON = {"reason": "The serial number was written wrong."}


@pytest.fixture
def certificate(office, installer, inspector) -> Certificate:
    sign_off = job_closed(office=office, installer=installer, inspector=inspector, kind="annual sweep")
    return sign_off.certificates.get()


def page(certificate: Certificate) -> str:
    return reverse("certificate_detail", args=[certificate.document_id])


def again(certificate: Certificate) -> str:
    return reverse("certificate_reissue", args=[certificate.document_id])


@pytest.mark.parametrize("who", ["owner", "office", "inspector", "installer"])
def test_everybody_of_the_job_sees_what_a_certificate_is(who, certificate, as_user, request):
    text = as_user(request.getfixturevalue(who)).get(page(certificate)).content.decode()
    assert "This report counts" in text
    assert certificate.document.context["record_mark"] in text


def test_a_certificate_needs_a_login(certificate):
    needs_login(page(certificate))


def test_another_crews_certificate_does_not_exist(certificate, as_user, stranger):
    hides(as_user(stranger), page(certificate))


def test_a_certificate_cannot_be_posted_to(certificate, as_user, office):
    refuses_method(as_user(office), page(certificate), "post")


@pytest.mark.parametrize("who", ["owner", "inspector"])
def test_a_certificate_is_issued_again_with_a_reason(who, certificate, as_user, request):
    client = as_user(request.getfixturevalue(who))
    assert f"Issue the new {certificate.noun}" in client.get(again(certificate)).content.decode()
    response = client.post(again(certificate), REASON)
    new = Certificate.objects.get(supersedes=certificate)
    assert response.url == page(new)
    assert new.reason == REASON["reason"]


def test_a_superseded_certificate_says_so_and_leads_to_the_one_that_counts(certificate, as_user, inspector):
    client = as_user(inspector)
    client.post(again(certificate), REASON)
    new = Certificate.objects.get(supersedes=certificate)
    old_page = client.get(page(certificate)).content.decode()
    assert f"Superseded by {new.serial}" in old_page
    assert page(new) in old_page
    assert "Issue a new one in its place" not in old_page
    assert REASON["reason"] in client.get(page(new)).content.decode()


def test_the_superseded_paper_itself_says_so_before_it_opens(certificate, as_user, inspector, installer):
    assert document_render(pk=certificate.document_id, now=NOW.replace(year=2027))
    as_user(inspector).post(again(certificate), REASON)
    response = as_user(installer).get(reverse("document_file", args=[certificate.document_id]))
    assert "This paper has been replaced" in response.content.decode()


def test_a_reissue_without_a_reason_is_refused_and_keeps_the_page(certificate, as_user, inspector):
    response = as_user(inspector).post(again(certificate), {"reason": " "})
    assert response.status_code == 422
    assert "Write why a new certificate is issued" in response.content.decode()
    assert Certificate.objects.count() == 1


def test_a_second_reissue_of_the_same_is_refused_and_keeps_what_was_typed(certificate, as_user, inspector):
    client = as_user(inspector)
    client.post(again(certificate), REASON)
    response = client.post(again(certificate), {"reason": "Something else entirely."})
    assert response.status_code == 422
    assert "has been superseded already" in response.content.decode()
    assert "Something else entirely." in response.content.decode()


def test_issuing_again_needs_a_login(certificate):
    needs_login(again(certificate))
    Client().post(again(certificate), REASON)
    assert Certificate.objects.count() == 1


def test_a_certificate_that_does_not_exist_is_not_issued_again(certificate, as_user, inspector):
    address = reverse("certificate_reissue", args=[certificate.document_id + 1])
    assert as_user(inspector).post(address, REASON).status_code == 404


@pytest.mark.parametrize("who", ["office", "installer"])
def test_who_does_not_sign_off_does_not_issue_again(who, certificate, as_user, request):
    client = as_user(request.getfixturevalue(who))
    forbids(client, again(certificate), "post")
    assert "Issue a new one in its place" not in client.get(page(certificate)).content.decode()


def test_issuing_again_knows_no_other_method(certificate, as_user, inspector):
    refuses_method(as_user(inspector), again(certificate), "put")
