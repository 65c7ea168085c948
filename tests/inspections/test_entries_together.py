"""The same batch sent twice at once, and a server killed in the middle of one."""

from __future__ import annotations

import dataclasses

import pytest

from inspections.models import Answer, Defect, Signature, SiteRecord, StageRecord, TabletEntry
from jobs.models import Job
from tests.inspections.closing import job_ready_to_begin, photo_make
from tests.inspections.sending import Tablet, answered, entry, pictured
from tests.jobs.other_processes import await_ready

SEND = """
import os, signal, uuid
from inspections.models import Answer, TabletEntry
from inspections.services import desk, entries, intake, records
from inspections.services.sent_entries import Sender, SentEntry
from jobs.models import Job, User
def die(*given, **told):
    os.kill(os.getpid(), signal.SIGKILL)
whole = TabletEntry.objects.bulk_create
{point}
job, by = Job.objects.get(pk={job}), User.objects.get(pk={by})
sent = [SentEntry(**{{**told, "entry": uuid.UUID(told["entry"])}}) for told in {sent}]
print("ready", flush=True); sys.stdin.readline()
told = entries.entries_take(job=job, by=by, sent=sent, sender=Sender(device="tablet"), now=timezone.now())
print(",".join(one.outcome for one in told), flush=True)
"""
POINTS = {
    "before the record is begun": "intake.record_begin = die",
    "before its stages": "records.StageRecord.objects.bulk_create = die",
    "before the answers": "desk.Answer.objects.bulk_create = die",
    "before the defects": "desk.Defect.objects.bulk_create = die",
    "before the receipts": "TabletEntry.objects.bulk_create = die",
    "before the commit": "TabletEntry.objects.bulk_create = lambda rows: (whole(rows), die())",
}


@pytest.fixture
def tablet(transactional_db, office, technician, installer) -> Tablet:
    """A tablet whose job has not begun."""
    return Tablet(job_ready_to_begin(office=office, crew=technician.crew), installer)


@pytest.fixture
def batch(tablet):
    """A beginning, answers of which one fails, a photo and a defect."""
    photo = photo_make(job=tablet.job, by=tablet.by, number=1)
    return [
        entry("begin"),
        answered("before_work", "services_traced", "yes"),
        answered("ceiling_support", "ceiling_clearance", "1"),
        pictured("before_work", "label_photo", photo),
        entry("defect", "sealing", text="Nail head open"),
    ]


def _code(tablet: Tablet, batch, point: str = "") -> str:
    sent = [
        {**{name: value for name, value in dataclasses.asdict(one).items() if value}, "entry": str(one.entry)}
        for one in batch
    ]
    for told in sent:
        told.pop("taken_at", None)
    return SEND.format(job=tablet.job.pk, by=tablet.by.pk, sent=repr(sent), point=point)


def _kept() -> tuple[int, ...]:
    return tuple(model.objects.count() for model in (SiteRecord, StageRecord, TabletEntry, Answer, Defect))


def test_the_same_batch_from_two_at_once_is_kept_once(other_processes, tablet, batch):
    other_processes.hand_out()
    racers = [other_processes.start(_code(tablet, batch)) for _ in range(2)]
    for racer in racers:
        await_ready(racer)
    for racer in racers:
        racer.stdin.write("go\n")
        racer.stdin.flush()
    for racer in racers:
        out, err = racer.communicate(timeout=60)
        assert racer.returncode == 0, err
        assert out.strip() == ",".join(["accepted"] * len(batch))
    other_processes.take_back()
    assert _kept() == (1, 11, 5, 3, 2)
    assert sorted(TabletEntry.objects.values_list("entry", flat=True)) == sorted(one.entry for one in batch)


@pytest.mark.parametrize("point", POINTS)
def test_killed_at_any_step_nothing_of_a_batch_stays_and_it_is_simply_sent_again(
    point, other_processes, tablet, batch
):
    other_processes.hand_out()
    process = other_processes.start(_code(tablet, batch, POINTS[point]))
    await_ready(process)
    _, err = process.communicate("go\n", timeout=60)
    assert process.returncode == -9, err
    other_processes.take_back()
    assert _kept() == (0, 0, 0, 0, 0)
    assert not Signature.objects.exists()
    assert Job.objects.get(pk=tablet.job.pk).status == "scheduled"
    assert {one.outcome for one in tablet.send(*batch)} == {"accepted"}
    assert _kept() == (1, 11, 5, 3, 2)
