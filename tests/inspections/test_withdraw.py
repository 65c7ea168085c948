"""A certificate that should not count is withdrawn, with a reason, and stays what it is."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from inspections.errors import InspectionsError
from inspections.models import Certificate, CertificateWithdrawal
from inspections.services.certificates import certificate_issue, certificate_withdraw
from jobs.services.documents import document_content
from tests.factories import NOW
from tests.inspections.closing import job_closed
from tests.inspections.sealed import rendered
from tests.jobs.five import forbids, hides, needs_login, refuses_method

LATER = NOW + timedelta(days=2)
REASON = {"reason": "The wrong flue was certified."}


@pytest.fixture
def certificate(office, installer, inspector) -> Certificate:
    sign_off = job_closed(office=office, installer=installer, inspector=inspector, kind="annual sweep")
    return sign_off.certificates.get()


def withdraw(certificate, by, **told):
    return certificate_withdraw(
        **{"certificate": certificate, "by": by, "reason": REASON["reason"], "now": LATER, **told}
    )


def path(certificate: Certificate) -> str:
    return reverse("certificate_withdraw", args=[certificate.document_id])


def test_it_is_withdrawn_with_who_when_and_why(certificate, inspector):
    withdraw(certificate, inspector)
    kept = CertificateWithdrawal.objects.get()
    assert (kept.certificate, kept.by, kept.at, kept.reason) == (
        certificate,
        inspector,
        LATER,
        REASON["reason"],
    )
    certificate.document.refresh_from_db()
    assert certificate.document.withdrawn_at == LATER


def test_its_paper_stays_on_file_as_it_was(certificate, inspector):
    content = rendered(certificate)
    withdraw(certificate, inspector)
    certificate.document.refresh_from_db()
    assert document_content(document=certificate.document) == content


@pytest.mark.parametrize("who", ["office", "installer"])
def test_only_who_signs_off_withdraws(certificate, who, request):
    with pytest.raises(InspectionsError) as refusal:
        withdraw(certificate, request.getfixturevalue(who))
    assert refusal.value.code == "may_not_withdraw"
    assert not CertificateWithdrawal.objects.exists()


def test_it_needs_a_reason(certificate, inspector):
    with pytest.raises(InspectionsError) as refusal:
        withdraw(certificate, inspector, reason="  ")
    assert refusal.value.code == "reason_missing"


def test_it_is_withdrawn_only_once(certificate, inspector):
    withdraw(certificate, inspector)
    with pytest.raises(InspectionsError) as refusal:
        withdraw(certificate, inspector)
    assert refusal.value.code == "already_withdrawn"


def issue_again(certificate, by) -> Certificate:
    return certificate_issue(
        sign_off=certificate.sign_off, by=by, now=LATER, supersedes=certificate, reason="As it should be."
    )


def test_a_superseded_one_no_longer_counts_so_the_newer_is_withdrawn_instead(certificate, inspector):
    new = issue_again(certificate, inspector)
    with pytest.raises(InspectionsError) as refusal:
        withdraw(certificate, inspector)
    assert refusal.value.code == "already_superseded"
    assert new.serial in refusal.value.sentence
    withdraw(new, inspector)


def test_a_new_one_may_take_the_place_of_a_withdrawn_one(certificate, inspector):
    withdraw(certificate, inspector)
    new = issue_again(certificate, inspector)
    assert new.supersedes == certificate


@pytest.mark.parametrize("who", ["owner", "inspector"])
def test_the_page_asks_why_then_says_that_it_is_withdrawn(certificate, as_user, who, request):
    client = as_user(request.getfixturevalue(who))
    detail = reverse("certificate_detail", args=[certificate.document_id])
    assert path(certificate) in client.get(detail).content.decode()
    assert "Withdraw the report" in client.get(path(certificate)).content.decode()
    assert client.post(path(certificate), REASON).url == detail
    text = client.get(detail).content.decode()
    assert "No longer counts" in text
    assert REASON["reason"] in text
    assert path(certificate) not in text


def test_a_refusal_keeps_what_was_typed(certificate, as_user, inspector):
    client = as_user(inspector)
    assert client.post(path(certificate), {"reason": ""}).status_code == 422
    withdraw(certificate, inspector)
    response = client.post(path(certificate), {"reason": "Once more, to be sure."})
    assert response.status_code == 422
    assert "has been withdrawn already" in response.content.decode()
    assert "Once more, to be sure." in response.content.decode()


def test_the_customer_reads_that_it_no_longer_counts(certificate, inspector, client):
    rendered(certificate)
    withdraw(certificate, inspector)
    customer = certificate.sign_off.record.job.installation.site.customer
    text = client.get(reverse("customer_page", args=[customer.link_token])).content.decode()
    assert "withdrawn: it no longer counts" in text


def test_who_is_turned_away(certificate, as_user, stranger, office, inspector):
    needs_login(path(certificate))
    hides(as_user(inspector), reverse("certificate_withdraw", args=[certificate.document_id + 9]))
    forbids(as_user(stranger), path(certificate), "post")
    forbids(as_user(office), path(certificate), "post")
    refuses_method(as_user(inspector), path(certificate), "put")
