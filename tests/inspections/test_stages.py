"""Signing stages: what holds them back, and what signing does."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError

from inspections.errors import InspectionsError
from inspections.models import Signature, SiteRecord, StageRecord
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import waiver_accept
from inspections.services.records import record_begin
from inspections.services.stages import stage_sign
from jobs.models import Job, JobStatus, JobStatusChange
from tests.factories import NOW, JobFactory
from tests.inspections.closing import INK, SCRAWL, job_ready_to_begin, photo_make, work_through

pytestmark = pytest.mark.django_db
BEFORE_WORK = {
    "instructions_on_site": "yes", "permit": "on_site", "listing_matches": "yes", "load_list_checked": "yes",
    "asbestos_looked_for": "none_seen", "services_traced": "yes", "access_safe": "yes", "flue_size": "6",
}  # fmt: skip


@pytest.fixture
def before_work(answer, job, installer, stage):
    """The first stage with everything answered but its photos."""
    for item, text in BEFORE_WORK.items():
        answer("before_work", item, text)
    return stage("before_work")


@pytest.fixture
def complete(before_work, answer, job, installer):
    """The first stage, complete."""
    for number, item in enumerate(("label_photo", "before_photo")):
        answer("before_work", item, "", photo=photo_make(job=job, by=installer, number=number))
    return before_work


def sign(stage, by, **told):
    return stage_sign(**{"stage": stage, "by": by, "name": by.name, "now": NOW, **INK, **told})


def refusal(stage, by, **told) -> InspectionsError:
    with pytest.raises(InspectionsError) as refused:
        sign(stage, by, **told)
    stage.refresh_from_db()
    assert not stage.is_signed or refused.value.code == "stage_signed"
    return refused.value


def test_beginning_pins_checklist_plan_and_limits_and_moves_the_job(job, record, installer):
    job.refresh_from_db()
    assert (job.status, record.plan, record.checklist_version) == (JobStatus.ON_SITE, job.plan, 1)
    assert record.limits == job.plan.data["limits"]
    assert record.facts["rule_book"] == "us"
    assert len(record.checklist_digest) == 64
    assert record.stages.count() == 11
    assert JobStatusChange.objects.filter(job=job).last().by == installer


def test_a_later_plan_changes_nothing_on_a_job_begun(record, job):
    job.plan.data["limits"] = {}
    job.plan.save(update_fields=["data"])
    record.refresh_from_db()
    assert "chimney.clearance" in record.limits


def test_beginning_twice_is_refused(job, record, installer):
    with pytest.raises(InspectionsError) as refused:
        record_begin(job=job, by=installer, now=NOW)
    assert refused.value.code == "already_begun"


def test_beginning_is_for_the_crew_that_is_sent(job, stranger, office):
    for person in (stranger, office):
        with pytest.raises(InspectionsError) as refused:
            record_begin(job=job, by=person, now=NOW)
        assert refused.value.code == "not_your_job"
    assert not SiteRecord.objects.exists()


def test_beginning_needs_a_scheduled_job(owner):
    job = JobFactory(status=JobStatus.PLANNED)
    with pytest.raises(InspectionsError) as refused:
        record_begin(job=job, by=owner, now=NOW)
    assert refused.value.code == "job_not_scheduled"


def test_a_sweep_takes_limits_from_the_last_plan_the_listings_and_the_rule_book(
    office, technician, installer
):
    job = job_ready_to_begin(office=office, crew=technician.crew, kind="annual sweep")
    record = record_begin(job=job, by=installer, now=NOW)
    assert record.limits["sweep.deposit"]["maximum"] == pytest.approx(0.003175)
    assert record.limits["service.draft"]["minimum"] == 12.0
    assert record.limits["chimney.clearance"]["source"]["kind"] == "listing"
    assert "alarm.co_distance" not in record.limits


def test_it_refuses_a_signature_while_a_required_photo_is_missing(before_work, installer):
    error = refusal(before_work, installer)
    assert error.code == "stage_incomplete"
    assert "Photo of the appliance's label - no photo yet." in error.sentence


def test_it_refuses_a_signature_while_something_is_unknown(complete, answer, installer):
    answer("before_work", "services_traced", "cannot tell")
    assert "a defect is open" in refusal(complete, installer).sentence


def test_it_refuses_a_signature_while_something_failed(complete, answer, installer):
    answer("before_work", "services_traced", "no")
    assert refusal(complete, installer).code == "stage_incomplete"


def test_a_waiver_lets_a_failed_item_be_signed(complete, answer, installer, inspector):
    failed = answer("before_work", "permit", "missing")
    waiver_accept(defect=failed.opened_defect, by=inspector, authority="Town", reason="By phone.", now=NOW)
    assert sign(complete, installer).is_signed


def test_a_waiver_does_not_cover_what_is_entered_after_it(complete, answer, installer, inspector):
    failed = answer("before_work", "permit", "missing")
    waiver_accept(defect=failed.opened_defect, by=inspector, authority="Town", reason="By phone.", now=NOW)
    answer("before_work", "permit", "missing", now=NOW + timedelta(minutes=5))
    assert refusal(complete, installer).code == "stage_incomplete"


def test_signing_freezes_the_stage_and_keeps_the_strokes(complete, installer):
    sign(complete, installer)
    complete.refresh_from_db()
    assert complete.signed_by == installer
    assert complete.signature.strokes == [[[float(x), float(y)] for x, y in stroke] for stroke in SCRAWL]
    assert not complete.signature.is_typed


def test_signing_twice_is_refused(complete, installer):
    sign(complete, installer)
    assert refusal(complete, installer).code == "stage_signed"
    assert Signature.objects.count() == 1


def test_nothing_after_a_hold_point_is_signed_before_it(record, stage, installer):
    error = refusal(stage("position"), installer)
    assert error.code == "hold_point"
    assert "Before work" in error.sentence


def test_only_the_crew_on_the_job_signs(complete, stranger, office, inspector):
    for person in (stranger, office, inspector):
        assert refusal(complete, person).code == "not_your_job"


@pytest.mark.parametrize(
    ("strokes", "code"),
    [
        ([], "signature_missing"),
        ([[[1, 1]]], "signature_too_small"),
        ([[]], "signature_broken"),
        ("scrawl", "signature_broken"),
        ({"0": 1}, "signature_broken"),
        ([[[1, "x"]]], "signature_broken"),
        ([[[1, float("nan")]]], "signature_broken"),
        ([[[1, True]]], "signature_broken"),
        ([[[9e9, 1], [2, 2]]], "signature_broken"),
        ([[[0, 0], [200, 0]]] * 301, "signature_broken"),
        ([[[0, 0], [200, 0]] * 10_001], "signature_broken"),
    ],
)
def test_strokes_that_are_no_signature_are_refused(complete, installer, strokes, code):
    assert refusal(complete, installer, strokes=strokes, name="Somebody").code == code
    assert not Signature.objects.exists()


def test_a_typed_name_signs_when_it_is_the_signers_own(complete, installer):
    sign(complete, installer, strokes=[], name="  ivo   installer ")
    complete.refresh_from_db()
    assert complete.signature.is_typed


def test_pressing_sign_without_drawing_or_typing_signs_nothing(complete, installer):
    assert refusal(complete, installer, strokes=[], name="").code == "signature_missing"


def test_a_drawn_signature_needs_no_typed_name(complete, installer):
    sign(complete, installer, name="")
    complete.refresh_from_db()
    assert complete.signature.name == "Ivo Installer"


def test_the_last_signature_makes_the_job_ready_for_sign_off(job, installer):
    record = work_through(job=job, by=installer)
    job.refresh_from_db()
    assert job.status == JobStatus.READY
    view = record_view(record)
    assert (view.missing, view.all_signed) == ((), True)


def test_the_database_refuses_a_signed_stage_without_its_signature(record, stage, installer):
    with pytest.raises(IntegrityError):
        StageRecord.objects.filter(pk=stage("position").pk).update(signed_at=NOW, signed_by=installer)


def test_a_view_of_a_record_takes_as_many_queries_however_long_it_is(
    job, installer, record, django_assert_num_queries
):
    first, *others = record.stages.all()
    _fail_everything(first, installer)
    fresh = SiteRecord.objects.select_related("job__installation__site").get(pk=record.pk)
    with django_assert_num_queries(7):
        record_view(fresh)
    for stage in others:
        _fail_everything(stage, installer)
    fresh = SiteRecord.objects.select_related("job__installation__site").get(pk=record.pk)
    with django_assert_num_queries(7):
        record_view(fresh)
    assert Job.objects.get(pk=job.pk).status == JobStatus.ON_SITE


def _fail_everything(stage, by):
    view = record_view(stage.record).stage(stage.key)
    for item in view.items:
        if item.item.kind == "confirm":
            answer_record(stage=stage, item=item.key, raw_text="no", by=by, now=NOW)
