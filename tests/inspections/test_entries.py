"""Entries of a tablet: judged again, kept once, answered for by name."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import IntegrityError, transaction

from inspections.models import Answer, Defect, SiteRecord, TabletEntry
from inspections.services.sent_entries import EntryResult
from jobs.models import JobStatus, Visit
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin
from tests.inspections.sending import Tablet, answered, entry

pytestmark = pytest.mark.django_db
TOKYO = ZoneInfo("Asia/Tokyo")
CLEARANCE = ("ceiling_support", "ceiling_clearance")


class TestBegin:
    def test_it_opens_the_record_and_what_follows_goes_into_it(self, tablet, job):
        begun, measured = tablet.send(entry("begin"), answered(*CLEARANCE, "2 1/4"))
        assert (begun.outcome, measured.outcome, measured.verdict) == ("accepted", "accepted", "pass")
        assert SiteRecord.objects.get().begun_by == tablet.by
        job.refresh_from_db()
        assert job.status == JobStatus.ON_SITE

    def test_begun_already_by_another_of_the_crew_there_is_nothing_to_do(self, on_site):
        again = on_site.send_one(entry("begin"))
        assert (again.outcome, again.code) == ("accepted", "already_begun")
        assert SiteRecord.objects.count() == 1

    def test_it_is_refused_for_another_crew(self, job, record, stranger):
        assert Tablet(job, stranger).send_one(entry("begin")).code == "not_your_job"

    def test_answers_before_it_are_refused_and_not_kept(self, tablet):
        refused = tablet.send_one(answered(*CLEARANCE, "2"))
        assert (refused.outcome, refused.code) == ("refused", "not_begun")
        assert not TabletEntry.objects.exists()


class TestAnswer:
    def test_it_is_judged_and_kept_with_device_and_clock(self, on_site):
        on_site.clock_skew = 90.0
        told = on_site.send_one(answered(*CLEARANCE, "1 1/2", verdict="fail"))
        assert told == EntryResult(
            entry=told.entry,
            outcome="accepted",
            verdict="fail",
            said="1 1/2 in",
            margin="1/2 in too little",
            received_at=NOW,
        )
        kept = Answer.objects.get()
        assert (kept.entry, kept.raw_text, kept.by) == (told.entry, "1 1/2", on_site.by)
        assert (kept.device, kept.device_time) == (f"tablet {on_site.device}", NOW)
        assert kept.opened_defect.is_open
        receipt = kept.tablet_entry
        assert (receipt.clock_skew, receipt.device, receipt.text) == (90.0, on_site.device, "1 1/2")

    def test_the_servers_verdict_counts_and_says_that_it_differs(self, on_site):
        told = on_site.send_one(answered(*CLEARANCE, "1 1/2", verdict="pass"))
        assert (told.verdict, told.differs) == ("fail", True)

    @pytest.mark.parametrize(
        ("stage", "item", "text", "code"),
        [
            (*CLEARANCE, "two", "not_understood"),
            ("moon", "gap", "2", "no_such_stage"),
            ("ceiling_support", "moon", "2", "no_such_item"),
            ("before_work", "services_traced", "perhaps", "yes_or_no"),
            ("before_work", "label_photo", "", "photo_missing"),
        ],
    )
    def test_what_its_person_can_correct_is_refused_and_not_kept(self, on_site, stage, item, text, code):
        told = on_site.send_one(answered(stage, item, text))
        assert (told.outcome, told.code) == ("refused", code)
        assert told.sentence
        assert not TabletEntry.objects.exists()
        assert not Answer.objects.exists()

    def test_one_refused_holds_up_none_of_the_others(self, on_site):
        results = on_site.send(answered(*CLEARANCE, "two"), answered("before_work", "services_traced", "yes"))
        assert [one.outcome for one in results] == ["refused", "accepted"]

    def test_two_of_one_item_follow_each_other(self, on_site):
        first = answered(*CLEARANCE, "1")
        second = answered(*CLEARANCE, "2 1/4", saw=first.entry)
        on_site.send(first, second)
        failed, passed = Answer.objects.order_by("pk")
        assert passed.supersedes == failed
        defect = Defect.objects.get()
        assert (defect.opened_by_answer, defect.closed_by_answer) == (failed, passed)

    def test_for_another_crew_nothing_is_kept(self, job, record, stranger, office, inspector):
        for person in (stranger, office, inspector):
            told = Tablet(job, person).send_one(answered(*CLEARANCE, "2"))
            assert (told.outcome, told.code) == ("refused", "not_your_job")
        assert not TabletEntry.objects.exists()


class TestAgain:
    def test_it_gets_the_answer_it_got_the_first_time(self, on_site):
        sent = answered(*CLEARANCE, "1 1/2", verdict="pass")
        first = on_site.send_one(sent)
        assert on_site.send_one(sent, now=NOW + timedelta(hours=1)) == first
        assert Answer.objects.count() == TabletEntry.objects.count() == 1

    def test_twice_in_one_batch_it_is_kept_once(self, on_site):
        sent = answered(*CLEARANCE, "2")
        first, second = on_site.send(sent, sent)
        assert first == second
        assert Answer.objects.count() == 1

    def test_it_is_answered_even_to_who_lost_the_right_to_the_job(self, on_site):
        sent = answered(*CLEARANCE, "2")
        first = on_site.send_one(sent)
        Visit.objects.filter(job=on_site.job).delete()
        assert on_site.send_one(sent) == first
        assert on_site.send_one(answered(*CLEARANCE, "2")).code == "not_your_job"

    def test_somebody_else_is_told_nothing_of_it(self, on_site, stranger, owner):
        sent = answered(*CLEARANCE, "1")
        on_site.send_one(sent)
        for person in (stranger, owner):
            told = Tablet(on_site.job, person).send_one(sent)
            assert (told.outcome, told.code, told.verdict, told.said) == ("refused", "entry_taken", "", "")

    def test_whoever_brings_a_file_in_hears_what_became_of_it(self, on_site, office):
        sent = answered(*CLEARANCE, "1")
        first = on_site.send_one(sent)
        assert on_site.send_one(sent, brought_in_by=office) == first

    def test_the_same_number_with_something_else_in_it_is_refused(self, on_site):
        sent = answered(*CLEARANCE, "1")
        on_site.send_one(sent)
        told = on_site.send_one(replace(sent, text="2"))
        assert (told.outcome, told.code) == ("refused", "entry_differs")
        assert Answer.objects.get().raw_text == "1"

    def test_an_app_brought_up_to_date_meanwhile_may_say_more_of_it(self, on_site):
        sent = answered(*CLEARANCE, "1", tells_what_it_saw=False)
        first = on_site.send_one(sent)
        again = replace(sent, tells_what_it_saw=True, verdict="fail", raw={"version": 2})
        assert on_site.send_one(again) == first

    def test_a_number_a_page_has_used_is_refused(self, on_site, answer):
        used = answer(*CLEARANCE, "1", entry=uuid.uuid4())
        told = on_site.send_one(answered(*CLEARANCE, "2", entry=used.entry))
        assert (told.outcome, told.code) == ("refused", "entry_taken")

    def test_a_number_of_another_job_is_refused(self, on_site, office, technician, installer):
        sent = answered(*CLEARANCE, "1")
        on_site.send_one(sent)
        other = job_ready_to_begin(office=office, crew=technician.crew)
        assert Tablet(other, installer).send_one(sent).code == "entry_differs"

    def test_two_entries_of_one_number_are_one_row_whoever_writes_them(self, on_site):
        on_site.send_one(sent := answered(*CLEARANCE, "1"))
        kept = TabletEntry.objects.get(entry=sent.entry)
        kept.pk = None
        with pytest.raises(IntegrityError), transaction.atomic():
            kept.save(force_insert=True)


@pytest.mark.parametrize(
    "told",
    [
        {"kind": "wish"},
        {"item": "two words"},
        {"stage": "s" * 61},
        {"text": "\x00"},
        {"text": "\ud800"},
        {"raw": {"more": float("nan")}},
    ],
)
def test_what_no_database_could_keep_is_refused(on_site, told):
    refused = on_site.send_one(replace(answered(*CLEARANCE, "1"), **told))
    assert (refused.outcome, refused.code) == ("refused", "entry_broken")


def test_words_beyond_all_measure_are_refused(on_site):
    assert on_site.send_one(answered(*CLEARANCE, "1" * 4001)).code == "text_too_long"


@pytest.mark.parametrize("told", [datetime(2026, 5, 4, 12), datetime(1, 1, 1, tzinfo=TOKYO), None])  # noqa: DTZ001
def test_a_clock_that_tells_no_moment_decides_nothing(on_site, told):
    on_site.clock_skew = float("inf")
    assert on_site.send_one(answered(*CLEARANCE, "1", taken_at=told)).outcome == "accepted"
    receipt = TabletEntry.objects.get()
    assert (receipt.taken_at, receipt.clock_skew, receipt.received_at) == (None, None, NOW)
