"""What comes too late for the record is kept beside it for the inspector, never dropped."""

from __future__ import annotations

import pytest

from inspections.models import Answer, Defect, Signature, SiteRecord, StageRecord, TabletEntry
from inspections.queries.records import record_view
from inspections.services.sent_entries import SentSignature
from jobs.models import Job, JobStatus
from tests.factories import NOW
from tests.inspections.closing import INK, photo_make
from tests.inspections.sending import SIGNED, Tablet, answered, entry, pictured, signed

pytestmark = pytest.mark.django_db
CLEARANCE = ("ceiling_support", "ceiling_clearance")
SENTENCES = {
    JobStatus.READY: "J-{:04d} is ready for sign-off: this came too late for its record.",
    JobStatus.CLOSED: "J-{:04d} is closed: this came too late for its record.",
    JobStatus.CANCELLED: "J-{:04d} is cancelled: this came too late for its record.",
}


def _move(job: Job, status: str) -> None:
    closed = NOW if status == JobStatus.CLOSED else None
    Job.objects.filter(pk=job.pk).update(status=status, closed_at=closed)


def _sign(stage: str, by) -> None:
    """Sign a stage as somebody did meanwhile, whatever is missing on it."""
    row = StageRecord.objects.get(key=stage)
    row.signature = Signature.objects.create(name="Ivo", user=by, signed_at=NOW, **INK)
    row.signed_at, row.signed_by = NOW, by
    row.save()


def _late(record: SiteRecord):
    return record_view(record).late


class TestStageSigned:
    def test_an_answer_is_judged_and_kept_and_leaves_the_record_alone(self, on_site, record):
        _sign("ceiling_support", on_site.by)
        told = on_site.send_one(answered(*CLEARANCE, "1 1/2", verdict="fail"))
        assert (told.outcome, told.code, told.verdict) == ("late", "stage_signed", "fail")
        assert (told.said, told.margin) == ("1 1/2 in", "1/2 in too little")
        assert told.sentence.endswith("had been signed before this arrived. It is kept for the inspector.")
        assert not Answer.objects.exists()
        assert not Defect.objects.exists()
        [late] = _late(record)
        assert late.words.endswith(": 1 1/2 in, fail")
        assert late.why.endswith("had been signed before this arrived.")

    def test_an_answer_nobody_can_read_is_kept_as_typed(self, on_site, record):
        _sign("ceiling_support", on_site.by)
        assert on_site.send_one(answered(*CLEARANCE, "two-ish")).outcome == "late"
        assert _late(record)[0].words.endswith(": “two-ish”")

    def test_a_photo_is_kept_with_its_picture_once_it_has_arrived(self, on_site, record):
        _sign("before_work", on_site.by)
        missing = entry("photo", "before_work", "label_photo", sha256="0" * 64)
        assert on_site.send_one(missing).outcome == "wants_photo"
        photo = photo_make(job=on_site.job, by=on_site.by, number=1)
        assert on_site.send_one(pictured("before_work", "label_photo", photo)).outcome == "late"
        assert _late(record)[0].entry.photo == photo

    def test_a_second_signature_is_kept_even_of_who_signed_the_first(self, on_site, record):
        _sign("before_work", on_site.by)
        told = on_site.send_one(signed("before_work"))
        assert (told.outcome, told.code) == ("late", "stage_signed")
        [late] = _late(record)
        assert late.words == "Signature of “Before work”"
        assert late.signature.strokes == SIGNED.strokes

    def test_a_defect_is_no_late_entry_but_a_defect(self, on_site):
        _sign("sealing", on_site.by)
        assert on_site.send_one(entry("defect", "sealing", text="Nail head open")).outcome == "accepted"
        assert Defect.objects.get().is_open


class TestJobNotOnSite:
    @pytest.mark.parametrize("status", SENTENCES)
    def test_whatever_the_crew_sends_is_kept(self, on_site, record, status):
        _move(on_site.job, status)
        photo = photo_make(job=on_site.job, by=on_site.by, number=1)
        results = on_site.send(
            answered(*CLEARANCE, "2"),
            pictured("before_work", "label_photo", photo),
            signed("before_work"),
        )
        assert {(one.outcome, one.code) for one in results} == {("late", "job_not_on_site")}
        sentence = SENTENCES[status].format(on_site.job.pk)
        assert {one.sentence.removesuffix(" It is kept for the inspector.") for one in results} == {sentence}
        assert len(_late(record)) == 3
        assert not Answer.objects.exists()

    @pytest.mark.parametrize("status", [JobStatus.CLOSED, JobStatus.CANCELLED])
    def test_a_defect_and_a_sign_off_of_a_job_that_is_over_are_kept(self, on_site, inspector, record, status):
        _move(on_site.job, status)
        results = Tablet(on_site.job, inspector).send(
            entry("defect", "sealing", text="Nail head open"),
            entry("sign_off", text="All well", signature=SIGNED),
        )
        assert {(one.outcome, one.code) for one in results} == {("late", "job_not_on_site")}
        assert [one.words for one in _late(record)] == [
            "Defect: Nail head open",
            "Sign-off of the job: All well",
        ]

    def test_work_begun_without_a_signal_on_a_job_cancelled_meanwhile_is_kept(self, tablet):
        _move(tablet.job, JobStatus.CANCELLED)
        results = tablet.send(entry("begin"), answered(*CLEARANCE, "2"), signed("before_work"))
        assert [(one.outcome, one.code) for one in results] == [("late", "job_not_on_site")] * 3
        assert not SiteRecord.objects.exists()
        assert TabletEntry.objects.count() == 3

    def test_another_crew_is_refused_and_nothing_is_kept(self, on_site, stranger):
        _move(on_site.job, JobStatus.CLOSED)
        told = Tablet(on_site.job, stranger).send_one(answered(*CLEARANCE, "2"))
        assert (told.outcome, told.code) == ("refused", "not_your_job")

    def test_what_says_nothing_is_refused_late_or_not(self, on_site):
        _move(on_site.job, JobStatus.CLOSED)
        empty, dot = on_site.send(
            entry("defect", "sealing", text=" "),
            signed("before_work", signature=SentSignature(strokes=[[[1, 1]]])),
        )
        assert (empty.code, dot.code) == ("description_missing", "signature_too_small")


class TestItemNotAsked:
    def test_an_answer_to_an_item_another_choice_took_away_is_kept(self, on_site, record):
        stage, item = _conditional(record)
        told = on_site.send_one(answered(stage, item, "yes"))
        assert (told.outcome, told.code) == ("late", "item_not_asked")
        assert "is no longer asked on this job as it stands." in told.sentence
        assert not Answer.objects.exists()

    def test_a_defect_on_it_is_kept(self, on_site, record):
        stage, item = _conditional(record)
        told = on_site.send_one(entry("defect", stage, item, "Loose"))
        assert (told.outcome, told.code) == ("late", "item_not_asked")


def test_sent_again_it_is_kept_once(on_site):
    _move(on_site.job, JobStatus.CLOSED)
    sent = answered(*CLEARANCE, "2")
    assert on_site.send_one(sent) == on_site.send_one(sent)
    assert TabletEntry.objects.count() == 1


def _conditional(record: SiteRecord) -> tuple[str, str]:
    """An item that is asked only after another one was answered."""
    view = record_view(record)
    return next((stage.key, item.key) for stage, item in view.checklist.items() if item.when is not None)
