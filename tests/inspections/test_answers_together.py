"""Two people, one item, at the same moment."""

from __future__ import annotations

import uuid

import pytest

from inspections.models import Answer, Defect
from inspections.services.records import record_begin
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin
from tests.jobs.other_processes import await_ready

ANSWER = """
from inspections.models import StageRecord
from inspections.services.answers import answer_record
from jobs.models import User
stage, by = StageRecord.objects.get(pk={stage}), User.objects.get(pk={by})
print("ready", flush=True); sys.stdin.readline()
for text in {texts}:
    told = dict(stage=stage, item="ceiling_clearance", by=by, now=timezone.now())
    answer_record(raw_text=text, entry={entry}, **told)
"""


@pytest.fixture
def begun(transactional_db, office, technician, installer):
    job = job_ready_to_begin(office=office, crew=technician.crew)
    return record_begin(job=job, by=installer, now=NOW)


def _race(shop, record, by, texts, entry="None"):
    stage = record.stages.get(key="ceiling_support")
    shop.hand_out()
    racers = [
        shop.start(ANSWER.format(stage=stage.pk, by=by.pk, texts=repr(told), entry=entry)) for told in texts
    ]
    for racer in racers:
        await_ready(racer)
    for racer in racers:
        racer.stdin.write("go\n")
        racer.stdin.flush()
    for racer in racers:
        _, err = racer.communicate(timeout=60)
        assert racer.returncode == 0, err
    shop.take_back()


def test_all_answers_are_kept_in_one_chain(other_processes, begun, installer):
    _race(other_processes, begun, installer, [["1", "2", "3", "1 1/2"] * 3, ["4", "1/2", "5", "2"] * 3])
    answers = list(Answer.objects.order_by("pk"))
    assert len(answers) == 24
    assert answers[0].supersedes is None
    assert [one.supersedes_id for one in answers[1:]] == [one.pk for one in answers[:-1]]
    last = answers[-1]
    assert Defect.objects.filter(closed_at=None).exists() == (last.outcome == "fail")


def test_one_entry_sent_by_both_is_kept_once(other_processes, begun, installer):
    entry = f"__import__('uuid').UUID('{uuid.uuid4()}')"
    _race(other_processes, begun, installer, [["2"], ["2"]], entry)
    assert Answer.objects.count() == 1
