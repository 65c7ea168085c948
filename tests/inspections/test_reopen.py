"""A closed job is opened again with a reason; nothing of what was signed or certified is lost."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from inspections.errors import InspectionsError
from inspections.models import Certificate, Signature, SignOff, SignOffReopening, StageReturn
from inspections.queries.bundles import bundle_of
from inspections.queries.records import record_view
from inspections.queries.tablet_jobs import tablet_jobs
from inspections.services.certificates import certificate_issue, certificate_withdraw
from inspections.today import open_stages, sent_back
from jobs.models import Job, JobStatus, ServiceSchedule, Shop, User
from jobs.queries.jobs import JobSearch, jobs_found
from jobs.services.documents import document_content
from jobs.services.jobs import job_move
from tests.factories import NOW, UserFactory
from tests.inspections.closing import job_closed
from tests.inspections.reopened import REOPENED_AT, WHY, put_right, reopen, sign_again
from tests.inspections.sealed import rendered
from tests.inspections.sending import SIGNED, Tablet, entry
from tests.paper import Paper


@pytest.fixture
def sign_off(office, installer, inspector) -> SignOff:
    return job_closed(office=office, installer=installer, inspector=inspector, kind="annual sweep")


@pytest.fixture
def record(sign_off):
    return sign_off.record


@pytest.fixture
def certificate(sign_off) -> Certificate:
    return sign_off.certificates.get()


def job_of(record) -> Job:
    return Job.objects.get(pk=record.job_id)


def verify_page(client, certificate) -> str:
    response = client.get(reverse("verify_certificate", args=[certificate.verify_code]))
    return " ".join(response.content.decode().split())


def test_the_job_is_on_site_again_and_says_by_whom_when_and_why(record, inspector):
    reopen(record, inspector)
    job = job_of(record)
    assert (job.status, job.closed_at, job.is_open) == (JobStatus.ON_SITE, None, True)
    last = job.status_changes.last()
    assert (last.old, last.new, last.by, last.at) == ("closed", "on site", inspector, REOPENED_AT)
    assert last.reason == f"Reopened: {WHY}"


def test_the_sign_off_stays_what_it_was_and_is_no_longer_in_force(record, sign_off, inspector):
    before = (sign_off.by, sign_off.signature_id, sign_off.at)
    kept = reopen(record, inspector)
    view = record_view(record)
    assert view.sign_off is None
    (earlier,) = view.earlier_sign_offs
    assert (earlier.sign_off.by, earlier.sign_off.signature_id, earlier.sign_off.at) == before
    assert (earlier.reopening, kept.by, kept.reason, kept.at) == (kept, inspector, WHY, REOPENED_AT)


def test_the_chosen_stages_go_back_with_their_signatures_kept_and_the_rest_stays_signed(record, inspector):
    first, *others = record.stages.order_by("position")
    reopen(record, inspector)
    returned = StageReturn.objects.get()
    assert (returned.stage, returned.signature_id, returned.reason) == (first, first.signature_id, WHY)
    assert not record.stages.get(pk=first.pk).is_signed
    assert all(record.stages.get(pk=one.pk).is_signed for one in others)
    assert [one.description for one in record_view(record).open_defects] == [WHY]


def test_the_certificate_is_withdrawn_for_the_same_reason_and_its_file_stays(record, certificate, inspector):
    content = rendered(certificate)
    reopen(record, inspector)
    certificate.refresh_from_db()
    assert certificate.withdrawal.reason == f"The job was reopened: {WHY}"
    assert document_content(document=certificate.document) == content


def test_a_new_sign_off_certifies_in_its_place_with_the_next_number(
    record, sign_off, certificate, *, installer, inspector, tmp_path
):
    reopen(record, inspector)
    put_right(record, installer)
    again = sign_again(record, inspector)
    new = again.certificates.get()
    assert (new.number, new.supersedes, new.reason) == (2, certificate, f"The job was reopened: {WHY}")
    assert again.after == sign_off.reopening
    view = record_view(record)
    assert (view.sign_off, [one.sign_off for one in view.earlier_sign_offs]) == (again, [sign_off])
    text = " ".join(Paper(rendered(new), tmp_path).text.split())
    assert certificate.serial in text
    assert f"The job was reopened: {WHY}" in text
    assert job_of(record).closed_at == again.at


def test_it_is_reopened_as_often_as_it_must_be(record, installer, inspector, client):
    first = Certificate.objects.get()
    for turn in range(1, 3):
        now = REOPENED_AT + timedelta(days=turn)
        reopen(record, inspector, now=now, reason=f"Turn {turn}")
        put_right(record, installer, now + timedelta(hours=1))
        sign_again(record, inspector, now + timedelta(hours=2))
    assert [one.number for one in Certificate.objects.order_by("number")] == [1, 2, 3]
    assert SignOff.objects.filter(record=record, reopening=None).count() == 1
    assert len(record_view(record).earlier_sign_offs) == 2
    assert "FW-000003 has taken its place. Ask for that one." in verify_page(client, first)


# What strangers, customers and the shop are told


def test_the_public_page_answers_withdrawn_then_superseded(record, certificate, installer, inspector, client):
    assert "Genuine" in verify_page(client, certificate)
    reopen(record, inspector)
    text = verify_page(client, certificate)
    assert "Withdrawn" in text
    assert "None has taken its place." in text
    assert WHY not in text
    put_right(record, installer)
    sign_again(record, inspector)
    text = verify_page(client, certificate)
    assert "Superseded" in text
    assert "withdrew it on 7 May 2026, and FW-000002 has taken its place. Ask for that one." in text
    reopen(record, inspector, now=REOPENED_AT + timedelta(days=1))
    text = verify_page(client, certificate)
    assert "FW-000002 has taken its place. That one was withdrawn as well: none counts now." in text


def test_the_customer_reads_that_a_new_one_is_to_come_until_it_is_there(
    record, certificate, installer, inspector, client
):
    rendered(certificate)
    page = reverse("customer_page", args=[record.job.installation.site.customer.link_token])
    words = "a new one stands here when it is signed off"
    assert words not in client.get(page).content.decode()
    reopen(record, inspector)
    text = client.get(page).content.decode()
    assert "withdrawn: it no longer counts" in text
    assert words in text
    put_right(record, installer)
    new = sign_again(record, inspector).certificates.get()
    rendered(new)
    text = client.get(page).content.decode()
    assert words not in text
    assert new.serial in text


def test_one_withdrawn_by_hand_promises_no_new_one(certificate, inspector, client):
    rendered(certificate)
    certificate_withdraw(certificate=certificate, by=inspector, reason="Never lit.", now=REOPENED_AT)
    token = certificate.sign_off.record.job.installation.site.customer.link_token
    assert "a new one stands here" not in client.get(reverse("customer_page", args=[token])).content.decode()


def test_it_is_among_the_open_jobs_again_and_on_the_crews_page(record, installer, inspector, office):
    def found(**told):
        return list(jobs_found(user=office, search=JobSearch(**told), now=REOPENED_AT))

    assert (found(), found(status="closed")) == ([], [record.job])
    reopen(record, inspector)
    assert (found(), found(status="closed")) == ([record.job], [])
    assert found(when="overdue") == [record.job]
    assert [row.job for row in open_stages(installer, REOPENED_AT).rows] == [record.job]
    assert [row.reason for row in sent_back(installer, REOPENED_AT).rows] == [WHY]


# Services


def due(record) -> set:
    return set(ServiceSchedule.objects.values_list("kind", "last_done_on", "next_due_on"))


def test_due_dates_stay_while_it_is_open_and_when_only_a_part_is_done_over(record, installer, inspector):
    before = due(record)
    assert before
    reopen(record, inspector)
    assert due(record) == before
    put_right(record, installer)
    sign_again(record, inspector)
    assert due(record) == before


def test_due_dates_move_when_the_whole_work_was_done_over(record, installer, inspector):
    reopen(record, inspector, stages=list(record.stages.values_list("key", flat=True)))
    put_right(record, installer)
    sign_again(record, inspector)
    assert {last for _, last, _ in due(record)} == {REOPENED_AT.date()}


# The tablet


def test_the_tablet_gets_the_job_again(record, installer, inspector):
    job, later = job_of(record), REOPENED_AT + timedelta(hours=1)
    assert record.job not in [one.job for one in tablet_jobs(installer, later)]
    assert bundle_of(job, installer, later).signed_off is not None
    reopen(record, inspector)
    assert record.job in [one.job for one in tablet_jobs(installer, later)]
    bundle = bundle_of(job_of(record), installer, later)
    assert (bundle.signed_off, bundle.job.status, bundle.may.work) == (None, "on site", True)


def test_what_came_for_the_closed_job_stays_late_and_has_to_be_looked_at(record, installer, inspector):
    tablet = Tablet(record.job, installer)
    first = record.stages.order_by("position").first()
    told = tablet.send_one(entry("defect", stage=first.key, text="Found in the truck: a loose screw."))
    assert told.outcome == "late"
    reopen(record, inspector)
    (late,) = record_view(record).late
    assert not late.entry.is_looked_at
    put_right(record, installer)
    with pytest.raises(InspectionsError, match="look at it"):
        sign_again(record, inspector)


def test_a_tablet_signs_it_off_again(record, installer, inspector):
    reopen(record, inspector)
    put_right(record, installer)
    newest = record_view(record).stages
    answers = [item.answer.answer for stage in newest for item in stage.items if item.answer]
    saw = max(answers, key=lambda one: one.pk).entry
    now = REOPENED_AT + timedelta(hours=3)
    told = Tablet(record.job, inspector).send_one(entry("sign_off", signature=SIGNED, saw=saw), now=now)
    assert told.outcome == "accepted", told
    assert record_view(record).sign_off.after == SignOffReopening.objects.get()
    assert [one.number for one in Certificate.objects.order_by("number")] == [1, 2]


# Refusals


def refused(code: str, record, by, **told) -> str:
    rows = SignOffReopening.objects.count(), StageReturn.objects.count()
    status = job_of(record).status
    with pytest.raises(InspectionsError) as refusal:
        reopen(record, by, **told)
    assert refusal.value.code == code
    assert (SignOffReopening.objects.count(), StageReturn.objects.count()) == rows
    assert job_of(record).status == status
    return refusal.value.sentence


def test_it_needs_a_reason_and_a_stage_the_job_has(record, certificate, inspector):
    refused("reason_missing", record, inspector, reason=" \n")
    refused("no_stage_chosen", record, inspector, stages=[])
    refused("no_such_stage", record, inspector, stages=["roof_garden"])
    assert not hasattr(Certificate.objects.get(), "withdrawal")


def test_only_who_may_answer_for_it_reopens_it(record, installer, office):
    refused("not_an_inspector", record, office)
    refused("not_an_inspector", record, installer)


def test_nobody_reopens_their_own_work_but_a_shop_of_one_person(record, installer):
    User.objects.filter(pk=installer.pk).update(role="owner")
    own = User.objects.get(pk=installer.pk)
    refused("own_work", record, own)
    Shop.objects.update(one_person=True)
    assert reopen(record, own)


def test_a_one_person_shop_goes_the_whole_way_with_an_installer(record, certificate, installer):
    Shop.objects.update(one_person=True)
    reopen(record, installer)
    put_right(record, installer)
    assert sign_again(record, installer).certificates.get().supersedes == certificate


def test_what_is_open_or_cancelled_is_not_reopened(record, inspector, office):
    reopen(record, inspector)
    refused("job_not_closed", record, inspector)
    job_move(job=job_of(record), to="cancelled", by=office, now=REOPENED_AT, reason="The house was sold.")
    assert "Open a new job" in refused("job_cancelled", record, inspector)


def test_while_it_is_open_no_certificate_is_issued_by_hand(record, sign_off, certificate, inspector):
    reopen(record, inspector)
    for told in ({"supersedes": certificate, "reason": "Once more."}, {}):
        with pytest.raises(InspectionsError) as refusal:
            certificate_issue(sign_off=sign_off, by=inspector, now=REOPENED_AT, **told)
        assert refusal.value.code == "job_reopened"
    assert Certificate.objects.count() == 1


def test_the_one_that_counts_is_withdrawn_and_those_before_it_stay(record, certificate, inspector):
    new = certificate_issue(
        sign_off=certificate.sign_off, by=inspector, now=NOW, supersedes=certificate, reason="A name."
    )
    reopen(record, inspector)
    assert Certificate.objects.get(withdrawal__isnull=False) == new


def test_one_withdrawn_by_hand_before_is_still_the_one_whose_place_is_taken(
    record, certificate, installer, inspector
):
    certificate_withdraw(certificate=certificate, by=inspector, reason="Wrong flue.", now=NOW)
    reopen(record, inspector)
    put_right(record, installer)
    assert sign_again(record, inspector).certificates.get().supersedes == certificate
    assert Certificate.objects.get(number=1).withdrawal.reason == "Wrong flue."


def test_the_database_keeps_a_record_from_two_sign_offs_in_force(record, sign_off, inspector):
    def signature():
        return Signature.objects.create(name="P", strokes=[], width=1, height=1, signed_at=NOW)

    def another(**told):
        with pytest.raises(IntegrityError), transaction.atomic():
            SignOff.objects.create(record=record, by=UserFactory(), signature=signature(), at=NOW, **told)

    another()
    reopening = reopen(record, inspector)
    SignOff.objects.create(record=record, by=inspector, signature=signature(), at=NOW, after=reopening)
    another(after=reopening)
    with pytest.raises(IntegrityError), transaction.atomic():
        SignOffReopening.objects.create(sign_off=sign_off, by=inspector, reason="Again", at=NOW)
