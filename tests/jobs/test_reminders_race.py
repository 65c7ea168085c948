"""Schedulers that run at the same moment, and one that is killed, remind each customer once."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.models import OutgoingMail, Reminder, ServiceKind, ServiceSchedule
from tests.factories import InstallationFactory
from tests.jobs.other_processes import await_ready

HOUSES = 12
#: Waits for the word, then lets four threads decide at once.
RACE = """
import threading
from django.db import connection
from jobs.services.reminders import reminders_queue
def work():
    print(reminders_queue(now=timezone.now()), flush=True)
    connection.close()
threads = [threading.Thread(target=work) for _ in range(4)]
print("ready", flush=True)
sys.stdin.readline()
for thread in threads:
    thread.start()
for thread in threads:
    thread.join()
"""
#: Dies after the mail and before its reminder is written.
DIE_IN_BETWEEN = """
import signal
from jobs.services import reminders
reminders._write = lambda *told: os.kill(os.getpid(), signal.SIGKILL)
reminders.reminders_queue(now=timezone.now())
"""
QUEUE = "from jobs.services.reminders import reminders_queue; reminders_queue(now=timezone.now())"


@pytest.fixture
def houses(transactional_db) -> None:
    due = (timezone.now() + timedelta(days=29)).date()
    for _ in range(HOUSES):
        installation = InstallationFactory()
        for kind in ServiceKind:
            ServiceSchedule.objects.create(
                installation=installation,
                kind=kind,
                last_done_on=due - timedelta(days=365),
                next_due_on=due,
                source={},
            )


def test_two_schedulers_with_four_threads_each_never_double_a_mail(houses, other_processes):
    other_processes.hand_out()
    schedulers = [other_processes.start(RACE) for _ in range(2)]
    for scheduler in schedulers:
        await_ready(scheduler)
    results = []
    for scheduler in schedulers:
        assert scheduler.stdin is not None
        scheduler.stdin.write("go\n")
        scheduler.stdin.flush()
    for scheduler in schedulers:
        out, err = scheduler.communicate(timeout=60)
        assert "could not be written" not in err
        assert "Traceback" not in err, err
        results += [int(line) for line in out.split()]
    other_processes.take_back()
    assert len(results) == 8
    assert sum(results) == HOUSES
    assert OutgoingMail.objects.count() == HOUSES
    assert Reminder.objects.count() == 2 * HOUSES
    assert len(set(OutgoingMail.objects.values_list("to", flat=True))) == HOUSES


def test_a_scheduler_killed_between_mail_and_reminder_leaves_neither(houses, other_processes):
    other_processes.hand_out()
    other_processes.run_until_killed(DIE_IN_BETWEEN)
    other_processes.take_back()
    assert not OutgoingMail.objects.exists()
    assert not Reminder.objects.exists()
    other_processes.hand_out()
    other_processes.run(QUEUE)
    other_processes.take_back()
    assert OutgoingMail.objects.count() == HOUSES
    assert set(Reminder.objects.values_list("outcome", flat=True)) == {"mailed"}
