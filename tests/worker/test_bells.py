"""Real workers and a real scheduler: rows are done once, whatever is lost or killed."""

from __future__ import annotations

import os
import signal
import time
from collections import Counter
from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.models import Heartbeat, MailState, OutgoingMail
from jobs.services.mail import mail_queue
from jobs.tasks import send_mail
from tests.jobs.smtp_server import HANG
from tests.worker.running import kill_at_once, wait_until

pytestmark = pytest.mark.worker


def queue(subject: str = "Sweep due") -> OutgoingMail:
    return mail_queue(to="ada@house.example", subject=subject, text="Dear Ada", now=timezone.now())


def left_behind(subject: str = "Sweep due") -> OutgoingMail:
    """A mail whose bell was lost."""
    now = timezone.now()
    return OutgoingMail.objects.create(
        to="ada@house.example",
        subject=subject,
        text="Dear Ada",
        message_id=f"<{subject}@shop.example>".replace(" ", "-"),
        requested_at=now,
        due_at=now,
    )


def is_sent(mail: OutgoingMail) -> bool:
    mail.refresh_from_db()
    return mail.state(timezone.now()) == MailState.SENT


def complaints(text: str) -> list[str]:
    """The lines of a log that report trouble; that tests may run as root is none."""
    words = ("WARNING", "ERROR", "CRITICAL", "Traceback", "Warning:")
    lines = [line for line in text.splitlines() if "logfile" not in line and "SecurityWarning" not in line]
    return [line for line in lines if any(word in line for word in words)]


def test_a_bell_rung_is_worked_off_and_nothing_is_complained_of(shop, smtp_server):
    worker = shop.start_worker()
    mail = queue()
    wait_until(lambda: is_sent(mail), what="the mail sent")
    assert smtp_server.ids() == [mail.message_id]
    worker.terminate()
    assert worker.wait(30) == 0
    assert complaints(shop.log("worker").read_text()) == []


def test_a_bell_rung_before_any_worker_runs_is_heard_when_one_starts(shop, smtp_server):
    mail = queue()
    shop.start_worker()
    wait_until(lambda: is_sent(mail), what="the mail sent")
    assert smtp_server.ids() == [mail.message_id]


def test_the_scheduler_has_a_lost_bell_picked_up_and_the_heart_goes_on_beating(shop, smtp_server):
    shop.start_worker()
    mail = left_behind()
    first_beat = Heartbeat.objects.get(name="worker").seen_at
    scheduler = shop.start("scheduler")
    wait_until(lambda: is_sent(mail), what="the left mail picked up", patience=90)
    assert smtp_server.ids() == [mail.message_id]
    assert Heartbeat.objects.get(name="worker").seen_at > first_beat
    scheduler.terminate()
    assert scheduler.wait(30) == 0
    assert complaints(shop.log("scheduler").read_text()) == []


def test_a_row_of_a_killed_worker_is_taken_by_another_only_after_the_lease(shop, smtp_server):
    smtp_server.behave(EHLO=HANG)
    first = shop.start_worker()
    mail = queue()
    assert smtp_server.reached.wait(30)
    kill_at_once(first)
    mail.refresh_from_db()
    assert mail.claimed_at is not None
    assert mail.done_at is None

    smtp_server.behave()
    shop.start_worker()
    other = queue("Another")
    send_mail.delay(mail.pk)
    wait_until(lambda: is_sent(other), what="the other mail sent")
    time.sleep(2)
    assert not is_sent(mail)

    OutgoingMail.objects.filter(pk=mail.pk).update(
        claimed_at=timezone.now() - timedelta(minutes=5, seconds=1)
    )
    send_mail.delay(mail.pk)
    wait_until(lambda: is_sent(mail), what="the mail of the killed worker sent")
    assert Counter(smtp_server.ids()) == {mail.message_id: 1, other.message_id: 1}
    assert mail.attempts == 2


def test_two_workers_who_hear_every_bell_twice_send_each_mail_once(shop, smtp_server):
    shop.start_worker()
    shop.start_worker()
    mails = [queue(f"Sweep due {number}") for number in range(60)]
    for mail in mails:
        send_mail.delay(mail.pk)
    wait_until(lambda: not OutgoingMail.objects.filter(done_at=None).exists(), what="all mails sent")
    assert Counter(smtp_server.ids()) == {mail.message_id: 1 for mail in mails}
    assert set(OutgoingMail.objects.values_list("attempts", flat=True)) == {1}


def test_a_worker_asked_to_stop_finishes_what_it_holds(shop, smtp_server):
    worker = shop.start_worker()
    mails = [queue(f"Sweep due {number}") for number in range(20)]
    wait_until(lambda: smtp_server.received, what="the first mail")
    worker.terminate()
    assert worker.wait(30) == 0
    half_done = OutgoingMail.objects.filter(claimed_at__isnull=False, done_at=None)
    assert list(half_done) == []

    shop.start_worker()
    for mail in mails:
        send_mail.delay(mail.pk)
    wait_until(lambda: not OutgoingMail.objects.filter(done_at=None).exists(), what="all mails sent")
    assert Counter(smtp_server.ids()) == {mail.message_id: 1 for mail in mails}


def test_a_worker_goes_on_when_its_children_are_killed_in_mid_task(shop, smtp_server):
    worker = shop.start_worker()
    smtp_server.behave(EHLO=HANG)
    mails = [queue("One"), queue("Two")]
    wait_until(lambda: smtp_server.commands.count("EHLO") == 2, what="both children at work")
    children = children_of(worker.pid)
    for child in children:
        os.kill(child, signal.SIGKILL)
    smtp_server.behave()
    wait_until(lambda: set(children_of(worker.pid)).isdisjoint(children), what="the dead buried")
    OutgoingMail.objects.update(claimed_at=timezone.now() - OutgoingMail.LEASE - timedelta(seconds=1))
    for mail in mails:
        send_mail.delay(mail.pk)
    wait_until(lambda: all(is_sent(mail) for mail in mails), what="the mails sent by new children")
    assert Counter(smtp_server.ids()) == {mail.message_id: 1 for mail in mails}
    assert worker.poll() is None


def children_of(pid: int) -> list[int]:
    with open(f"/proc/{pid}/task/{pid}/children") as file:
        return [int(child) for child in file.read().split()]
