"""Entries of a tablet: judged again, kept once, answered for by name."""

from __future__ import annotations

import pytest

from inspections.models import Answer, Defect, SiteRecord, TabletEntry
from inspections.services.sent_entries import EntryResult
from jobs.models import JobStatus
from tests.factories import NOW
from tests.inspections.sending import Tablet, answered, entry

pytestmark = pytest.mark.django_db
CLEARANCE = ("ceiling_support", "ceiling_clearance")


@pytest.fixture
def tablet(job, installer) -> Tablet:
    """The installer's tablet, before the work has begun."""
    return Tablet(job, installer)


@pytest.fixture
def on_site(record, tablet) -> Tablet:
    """The installer's tablet, site work under way."""
    return tablet


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
        assert on_site.send_one(sent) == first
        assert Answer.objects.count() == TabletEntry.objects.count() == 1
