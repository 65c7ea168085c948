"""Certificate numbers have no gaps and no twins, whoever issues at once and whoever is killed."""

from __future__ import annotations

import random
import time

import pytest

from inspections.checklists import checklist_for
from inspections.models import Certificate, Signature, SignOff, SiteRecord, StageRecord
from jobs.models import Document, JobStatus, Shop, User
from tests.factories import NOW, JobFactory, UserFactory
from tests.jobs.other_processes import Shop as Processes
from tests.jobs.other_processes import await_ready, kill

#: Issues one certificate after the other; every third transaction is rolled back on purpose.
ISSUE = """
from django.utils import timezone
from django.db import transaction
from inspections.models import SignOff
from inspections.services.certificates import certificate_issue
from jobs.tasks import render_document
render_document.delay = lambda pk: None
print("ready", flush=True)
sys.stdin.readline()
for number, pk in enumerate({pks}):
    sign_off = SignOff.objects.get(pk=pk)
    if number % 3 == 2:
        with transaction.atomic():
            certificate_issue(sign_off=sign_off, by=sign_off.by, now=timezone.now())
            transaction.set_rollback(True)
    with transaction.atomic():
        certificate_issue(sign_off=sign_off, by=sign_off.by, now=timezone.now())
    print("issued", flush=True)
"""


@pytest.fixture
def processes(other_processes) -> Processes:
    Shop.current()
    return other_processes


def signed_off(by: User) -> SignOff:
    """A record signed off without any answer: enough for a number."""
    job = JobFactory(kind="annual sweep", status=JobStatus.CLOSED, closed_at=NOW)
    checklist = checklist_for(kind=job.kind, route=job.installation.route)
    record = SiteRecord.objects.create(
        job=job,
        checklist=checklist.key,
        checklist_version=checklist.version,
        limits={},
        begun_at=NOW,
        begun_by=by,
    )
    for position, stage in enumerate(checklist.stages, start=1):
        StageRecord.objects.create(record=record, key=stage.key, position=position)
    signature = Signature.objects.create(name=by.name, strokes=[], width=1, height=1, signed_at=NOW)
    return SignOff.objects.create(record=record, by=by, signature=signature, at=NOW)


def numbers() -> list[int]:
    return sorted(Certificate.objects.values_list("number", flat=True))


def start_all(processes: Processes, shares: list[list[int]]) -> list:
    workers = [processes.start(ISSUE.format(pks=share)) for share in shares]
    for worker in workers:
        await_ready(worker)
    for worker in workers:
        worker.stdin.write("go\n")
        worker.stdin.flush()
    return workers


def test_processes_that_issue_at_once_leave_no_gap_and_no_twin(processes):
    by = UserFactory(role="inspector")
    pks = [signed_off(by).pk for _ in range(24)]
    processes.hand_out()
    for worker in start_all(processes, [pks[start::4] for start in range(4)]):
        _, err = worker.communicate(timeout=90)
        assert worker.returncode == 0, err
    processes.take_back()
    assert numbers() == list(range(1, 25))
    assert Document.objects.count() == 24
    titles = {one.document.title for one in Certificate.objects.select_related("document")}
    assert titles == {f"Sweep report FW-{number:06d}" for number in range(1, 25)}


def test_a_process_killed_while_it_issues_leaves_no_gap(processes):
    by = UserFactory(role="inspector")
    pks = [signed_off(by).pk for _ in range(40)]
    processes.hand_out()
    chance = random.Random(11)
    workers = start_all(processes, [pks[:20], pks[20:]])
    for worker in workers:
        for _ in range(4):
            await_ready(worker, "issued")
        time.sleep(chance.uniform(0, 0.02))
        kill(worker)
    processes.take_back()
    found = numbers()
    assert 8 <= len(found) < 40
    assert found == list(range(1, len(found) + 1))
    assert Document.objects.count() == len(found)
