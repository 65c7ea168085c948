"""Jobs from before there was a log, writers at the same moment, and emptying a whole database."""

from __future__ import annotations

import importlib
import pkgutil

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from config.evidence import ROWS
from inspections import migrations
from jobs.evidence_guards import guards_missing
from jobs.models import EvidenceEvent, EvidencePrivate, Job, JobStatusChange
from jobs.services.evidence import evidence_head
from tests.factories import NOW, InstallationFactory, JobFactory
from tests.inspections.proved import breaks, guards_off, job_proved
from tests.jobs.other_processes import await_ready

WRITERS, EACH = 3, 12
WRITE = """
from jobs.models import Job
from jobs.services.evidence import evidence_append
job = Job.objects.get(pk={pk})
print("ready", flush=True)
sys.stdin.readline()
for turn in range({each}):
    told = {{"kind": "looked", "subject": "thing:{number}", "facts": {{"turn": turn}}}}
    evidence_append(job=job, at=timezone.now(), **told)
"""


def taking_over():
    """The migration that gives older jobs their chains, and the models as they were then."""
    (name,) = (
        one.name
        for one in pkgutil.iter_modules(migrations.__path__)
        if one.name.endswith("evidence_taken_over")
    )
    module = importlib.import_module(f"inspections.migrations.{name}")
    state = MigrationLoader(connection).project_state(("inspections", name), at_end=False)
    return module.take_over, state.apps


@pytest.mark.django_db
def test_jobs_from_before_the_log_get_a_chain_of_their_rows_in_order_of_time(office, installer, inspector):
    job = job_proved(office=office, installer=installer, inspector=inspector, closed=False)
    logged = EvidenceEvent.objects.filter(job=job).count()
    guards_off()
    EvidencePrivate.objects.all().delete()
    EvidenceEvent.objects.all().delete()
    assert breaks() != []
    take_over, models = taking_over()
    take_over(models, None)
    assert breaks() == []
    events = list(EvidenceEvent.objects.filter(job=job))
    assert len(events) == logged
    assert {one.kind for one in events} == {"taken over"}
    assert all('"taken_over_at":' in one.facts for one in events)
    assert [one.at for one in events] == sorted(one.at for one in events)
    take_over(models, None)
    assert EvidenceEvent.objects.filter(job=job).count() == logged


@pytest.mark.django_db
def test_a_later_change_of_a_row_from_before_the_log_is_found(office, installer, inspector):
    job_proved(office=office, installer=installer, inspector=inspector, closed=False)
    guards_off()
    EvidencePrivate.objects.all().delete()
    EvidenceEvent.objects.all().delete()
    take_over, models = taking_over()
    take_over(models, None)
    JobStatusChange.objects.filter(new="ready for sign-off").update(new="closed")
    assert breaks()[0].kind == "taken over"


@pytest.mark.django_db
def test_a_job_without_any_row_has_a_beginning_of_its_own_for_a_head():
    job = JobFactory()
    assert evidence_head(job=job) != evidence_head(job=JobFactory())
    assert breaks() == []


def test_writers_at_the_same_moment_queue_up(other_processes, transactional_db):
    job = JobFactory(installation=InstallationFactory())
    other_processes.hand_out()
    writers = [
        other_processes.start(WRITE.format(pk=job.pk, each=EACH, number=number)) for number in range(WRITERS)
    ]
    for writer in writers:
        await_ready(writer)
    for writer in writers:
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        _, err = writer.communicate(timeout=90)
        assert writer.returncode == 0, err
    other_processes.take_back()
    numbers = EvidenceEvent.objects.filter(job=job).values_list("number", flat=True)
    assert list(numbers) == list(range(1, WRITERS * EACH + 1))
    assert breaks(Job.objects.get(pk=job.pk)) == []


def test_a_whole_shop_moves_by_dump_and_load_and_its_evidence_holds(
    transactional_db, tmp_path, office, installer, inspector
):
    job = job_proved(office=office, installer=installer, inspector=inspector)
    head = evidence_head(job=job)
    file = tmp_path / "shop.json"
    # As README has it.
    excluded = ["contenttypes", "auth.permission", "sessions"]
    call_command("dumpdata", natural_foreign=True, exclude=excluded, output=str(file), verbosity=0)
    call_command("flush", interactive=False, verbosity=0)
    assert not EvidenceEvent.objects.exists()
    assert guards_missing(connection, ROWS) == []
    call_command("loaddata", str(file), verbosity=0)
    assert evidence_head(job=job) == head
    assert breaks() == []
    assert guards_missing(connection, ROWS) == []
    assert job.created_at == NOW
