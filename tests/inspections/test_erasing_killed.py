"""kill -9 while files of an erased customer are removed: the next worker removes the rest."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone

from inspections.services.file_removals import files_removal_request
from jobs.models import Customer, FileRemoval
from tests.factories import CustomerFactory

#: Kills the process just before or after the second file goes, or before anything does.
KILL_AT = """
import signal
from inspections.services import file_removals
from django.core.files.storage import default_storage
def dying(owner, name, after, calls=1):
    call, seen = getattr(owner, name), []
    def die(*args, **told):
        seen.append(1)
        if len(seen) < calls:
            return call(*args, **told)
        if after:
            call(*args, **told)
        os.kill(os.getpid(), signal.SIGKILL)
    setattr(owner, name, die)
"""
REMOVE = "file_removals.files_remove(pk={pk}, now=timezone.now())"
LATER = """
from inspections.services import file_removals
now = timezone.now() + timedelta(minutes=6)
for pk in file_removals.removals_left(now=now):
    file_removals.files_remove(pk=pk, now=now)
"""
POINTS = {
    "claimed": "dying(file_removals, 'erasure_list_add', False)",
    "noted": "dying(file_removals, 'files_drop', False)",
    "half of the files gone": "dying(default_storage._wrapped, 'delete', True, 2)",
}


@pytest.mark.parametrize("point", POINTS)
def test_a_worker_killed_at_any_step_loses_nothing(point, other_processes, tmp_path: Path, monkeypatch):
    monkeypatch.setattr("inspections.tasks.customers.remove_files.delay", lambda pk: None)
    customer = CustomerFactory()
    Customer.objects.filter(pk=customer.pk).update(erased_at=timezone.now())
    media = tmp_path / "media"
    names = [f"documents/7/{number}-paper.pdf" for number in (1, 2, 3)]
    for name in names:
        (media / name).parent.mkdir(parents=True, exist_ok=True)
        (media / name).write_bytes(b"personal")
    removal = files_removal_request(
        customer=customer, stems=[f"documents/7/{number}-" for number in (1, 2, 3)], now=timezone.now()
    )
    told = {"MEDIA_DIR": str(media)}
    other_processes.hand_out()
    start = f"{KILL_AT}\ndefault_storage.exists('x')\n{POINTS[point]}\n{REMOVE.format(pk=removal.pk)}"
    other_processes.run_until_killed(start, **told)
    other_processes.take_back()
    assert FileRemoval.objects.get().done_at is None
    assert any((media / name).exists() for name in names)

    other_processes.hand_out()
    other_processes.run(LATER, **told)
    other_processes.take_back()
    assert FileRemoval.objects.get().done_at > timezone.now() - timedelta(minutes=1)
    assert not any((media / name).exists() for name in names)
    lines = [line for line in (tmp_path / "var" / "erasures.jsonl").read_text().splitlines() if line]
    assert [json.loads(line)["customer"] for line in lines] == [customer.pk]
