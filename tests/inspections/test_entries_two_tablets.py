"""Two tablets on one job: both histories are kept, and nobody passes over a failure unseen."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inspections.models import Answer, Defect
from inspections.queries.records import record_view
from inspections.services.defects import defect_report
from tests.factories import NOW
from tests.inspections.sending import Tablet, answered, entry

pytestmark = pytest.mark.django_db
CLEARANCE = ("ceiling_support", "ceiling_clearance")


@pytest.fixture
def other(on_site) -> Tablet:
    """A second tablet of the same person."""
    return Tablet(on_site.job, on_site.by)


def _item(record):
    return record_view(record).stage(CLEARANCE[0]).item(CLEARANCE[1])


def test_the_one_received_last_counts_and_both_are_kept(on_site, other, record):
    on_site.send(answered(*CLEARANCE, "2 1/4"))
    told = other.send_one(answered(*CLEARANCE, "2 1/2"))
    assert (told.outcome, told.code, told.sentence) == ("accepted", "", "")
    item = _item(record)
    assert (item.answer.said, [one.said for one in item.history]) == ("2 1/2 in", ["2 1/4 in"])
    first, second = Answer.objects.order_by("pk")
    assert second.supersedes == first


def test_a_pass_that_did_not_see_the_failure_does_not_close_its_defect(on_site, other, record):
    on_site.send(answered(*CLEARANCE, "1"))
    told = other.send_one(answered(*CLEARANCE, "2 1/4"))
    assert (told.outcome, told.code, told.verdict) == ("accepted", "answered_otherwise", "pass")
    assert told.sentence == (
        "Meanwhile Ivo Installer had answered “1 in”: fail. Both are kept and the defect stays open. Look at"
        " it again and enter it once more."
    )
    assert Defect.objects.get().is_open
    item = _item(record)
    assert (item.verdict, item.settled) == ("pass", False)


def test_entered_once_more_it_closes_the_defect(on_site, other):
    on_site.send(answered(*CLEARANCE, "1"))
    other.send(unseen := answered(*CLEARANCE, "2 1/4"))
    told = other.send_one(answered(*CLEARANCE, "2 1/4", saw=unseen.entry))
    assert told.code == ""
    assert not Defect.objects.get().is_open


def test_a_pass_that_did_not_see_what_could_not_be_told_leaves_it_open(on_site, other):
    on_site.send(answered(*CLEARANCE, "cannot tell"))
    assert other.send_one(answered(*CLEARANCE, "2 1/4")).code == "answered_otherwise"
    assert Defect.objects.get().is_open


def test_a_pass_that_saw_the_failure_closes_its_defect_from_any_tablet(on_site, other):
    on_site.send(failed := answered(*CLEARANCE, "1"))
    other.send(answered(*CLEARANCE, "2 1/4", saw=failed.entry))
    assert not Defect.objects.get().is_open


def test_a_failure_counts_whether_it_saw_the_pass_or_not(on_site, other):
    on_site.send(answered(*CLEARANCE, "2 1/4"))
    assert other.send_one(answered(*CLEARANCE, "1")).verdict == "fail"
    assert Defect.objects.get().is_open


def test_an_answer_from_a_page_was_not_seen_either(on_site, answer):
    answer(*CLEARANCE, "1")
    assert on_site.send_one(answered(*CLEARANCE, "2 1/4")).code == "answered_otherwise"


def test_a_pass_that_did_not_see_a_defect_reported_by_somebody_else_leaves_it_open(
    on_site, record, inspector
):
    defect_report(
        stage=record.stages.get(key=CLEARANCE[0]), item=CLEARANCE[1], description="Trim burns.",
        by=inspector, now=NOW,
    )  # fmt: skip
    told = on_site.send_one(answered(*CLEARANCE, "2 1/4", knew=NOW - timedelta(minutes=5)))
    assert (told.outcome, told.code) == ("accepted", "defect_reported")
    assert "Meanwhile Petra Inspector had reported a defect here: Trim burns." in told.sentence
    assert Defect.objects.get().is_open
    seen = Answer.objects.get().entry
    on_site.send(answered(*CLEARANCE, "2 1/4", saw=seen, knew=NOW + timedelta(minutes=5)))
    assert not Defect.objects.get().is_open


def test_a_pass_puts_right_what_the_same_person_reported(on_site):
    on_site.send(entry("defect", *CLEARANCE, "Trim burns."))
    on_site.send(answered(*CLEARANCE, "2 1/4"))
    assert not Defect.objects.get().is_open


class TestFirstVersion:
    """An app that does not tell what it saw knows what it sent itself, and nothing else."""

    def test_what_the_same_tablet_sent_is_seen(self, on_site):
        on_site.send(answered(*CLEARANCE, "1", tells_what_it_saw=False))
        on_site.send(answered(*CLEARANCE, "2 1/4", tells_what_it_saw=False))
        assert not Defect.objects.get().is_open

    def test_what_another_tablet_sent_is_not(self, on_site, other):
        on_site.send(answered(*CLEARANCE, "1"))
        told = other.send_one(answered(*CLEARANCE, "2 1/4", tells_what_it_saw=False))
        assert told.code == "answered_otherwise"
        assert Defect.objects.get().is_open

    def test_a_tablet_without_a_number_has_sent_nothing_before(self, on_site):
        on_site.device = ""
        on_site.send(answered(*CLEARANCE, "1", tells_what_it_saw=False))
        on_site.send(answered(*CLEARANCE, "2 1/4", tells_what_it_saw=False))
        assert Defect.objects.get().is_open
