"""The page that says what reopening does before it is done, and the pages that tell of it afterwards."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Certificate, SignOffReopening
from inspections.services.reopening import record_reopen
from jobs.models import Job, User
from tests.inspections.closing import job_closed
from tests.inspections.reopened import WHY
from tests.jobs.five import forbids, hides, needs_login, refuses_method


@pytest.fixture
def record(office, installer, inspector):
    return job_closed(office=office, installer=installer, inspector=inspector, kind="annual sweep").record


@pytest.fixture
def path(record) -> str:
    return reverse("record_reopen", args=[record.job_id])


def sent(record, **told) -> dict:
    return {"reason": WHY, "stages": [record.stages.order_by("position").first().key], **told}


def text_of(client, name: str, pk: int) -> str:
    response = client.get(reverse(name, args=[pk]))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("who", ["owner", "inspector"])
def test_it_says_what_happens_asks_why_and_opens_the_job(record, path, as_user, who, request):
    client = as_user(request.getfixturevalue(who))
    assert path in text_of(client, "job_detail", record.job_id)
    assert path in text_of(client, "record_review", record.job_id)
    assert path in text_of(client, "certificate_detail", Certificate.objects.get().document_id)
    text = client.get(path).content.decode()
    for words in ("FW-000001 is withdrawn at once, for good", "Nobody is written to", "stay as they are"):
        assert words in text
    response = client.post(path, sent(record))
    assert response.url == reverse("job_detail", args=[record.job_id])
    assert Job.objects.get().status == "on site"
    assert SignOffReopening.objects.get().reason == WHY


def test_history_record_and_certificate_tell_of_it(record, path, as_user, inspector):
    record_reopen(record=record, by=inspector, now=timezone.now(), **sent(record))
    client = as_user(inspector)
    assert f"Reopened: {WHY}" in text_of(client, "job_detail", record.job_id)
    text = text_of(client, "record_review", record.job_id)
    assert "Signed off before" in text
    assert "Reopened by Petra Inspector" in text
    assert "FW-000001</a>, withdrawn" in text
    text = text_of(client, "certificate_detail", Certificate.objects.get().document_id)
    assert f"The job was reopened: {WHY}" in text
    assert "takes the place of FW-000001 by itself" in text
    for page in (path, reverse("certificate_reissue", args=[Certificate.objects.get().document_id])):
        assert page not in text
    assert "only a closed job is reopened" in client.get(path).content.decode()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"reason": " "}, "Write why the job is reopened"),
        ({"stages": []}, "Choose the signed stages"),
        ({"stages": ["nowhere"]}, "nowhere"),
    ],
)
def test_a_refusal_says_what_to_do_and_keeps_what_was_typed(
    record, path, as_user, *, inspector, change, words
):
    response = as_user(inspector).post(path, {**sent(record), **change})
    assert response.status_code == 422
    text = response.content.decode()
    assert words in text
    if change.get("reason") is None:
        assert WHY in text
    assert Job.objects.get().status == "closed"


def test_own_work_is_told_why_not_and_offered_no_button(record, path, as_user, installer):
    User.objects.filter(pk=installer.pk).update(role="owner")
    client = as_user(User.objects.get(pk=installer.pk))
    text = client.get(path).content.decode()
    assert "somebody else must answer for it" in text
    assert "<textarea" not in text
    assert client.post(path, sent(record)).status_code == 422
    assert path not in text_of(client, "record_review", record.job_id)


def test_who_is_turned_away(path, as_user, *, stranger, office, installer, inspector):
    needs_login(path)
    hides(as_user(stranger), path)
    hides(as_user(stranger), path, "post")
    forbids(as_user(office), path, "post")
    assert "Only an inspector or the owner" in as_user(installer).get(path).content.decode()
    refuses_method(as_user(inspector), path, "put")
