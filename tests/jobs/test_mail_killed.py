"""kill -9 at every phase of sending: nothing is lost, and nothing arrives twice."""

from __future__ import annotations

import random
import time
from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.models import MailState, OutgoingMail
from jobs.services.mail import mail_queue
from tests.jobs.other_processes import await_ready, kill
from tests.jobs.smtp_server import HANG

BEFORE_THE_TEXT = ["greeting", "EHLO", "MAIL", "RCPT", "DATA"]
SEND = "from jobs.services.mail import mail_send; mail_send(pk={pk}, now=timezone.now())"
#: What a scheduler does once the dead worker's claim has ended.
RECOVER = """
from jobs.services.mail import mail_send, mails_left
for round in (1, 2, 3):
    now = timezone.now() + timedelta(minutes=6 * round)
    for pk in mails_left(now=now):
        mail_send(pk=pk, now=now)
"""
#: Kills the process when it is about to call a function, or just after.
KILL_AT = """
import signal
from jobs.services import mail, mail_carriers
def dying(owner, name, after):
    call = getattr(owner, name)
    def die(*args, **told):
        if after:
            call(*args, **told)
        os.kill(os.getpid(), signal.SIGKILL)
    setattr(owner, name, die)
"""


@pytest.fixture
def mail(transactional_db, monkeypatch) -> OutgoingMail:
    monkeypatch.setattr("jobs.tasks.mail.send_mail.delay", lambda pk: None)
    return mail_queue(to="ada@house.example", subject="Due", text="Dear Ada", now=timezone.now())


def recovered(other_processes, smtp_server, mail, url) -> OutgoingMail:
    smtp_server.behave()
    other_processes.run(RECOVER, MAIL_URL=url)
    other_processes.take_back()
    mail.refresh_from_db()
    return mail


def later() -> object:
    return timezone.now() + timedelta(minutes=20)


@pytest.mark.parametrize("point", [*BEFORE_THE_TEXT, "text", "answer"])
def test_a_worker_killed_while_the_server_keeps_it_waiting(point, mail, other_processes, smtp_server):
    url = f"smtp://127.0.0.1:{smtp_server.port}"
    smtp_server.behave(**{point: HANG})
    other_processes.hand_out()
    worker = other_processes.start(SEND.format(pk=mail.pk), MAIL_URL=url)
    assert smtp_server.reached.wait(30)
    if point == "text":
        # The server has said "go ahead"; give the worker a moment to give the text away.
        time.sleep(0.5)
    kill(worker)
    after = recovered(other_processes, smtp_server, mail, url)
    if point in BEFORE_THE_TEXT:
        assert after.state(later()) == MailState.SENT
        assert smtp_server.ids() == [mail.message_id]
    else:
        assert after.state(later()) == MailState.UNCERTAIN
        assert len(smtp_server.received) == (1 if point == "answer" else 0)


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ("dying(mail, 'mail_bytes', False)", (1, MailState.SENT)),
        ("dying(mail_carriers.SmtpCarrier, 'ask', True)", (1, MailState.SENT)),
        ("dying(mail, '_hand_over', True)", (0, MailState.UNCERTAIN)),
        ("dying(mail_carriers.SmtpCarrier, 'give', True)", (1, MailState.UNCERTAIN)),
        ("dying(mail_carriers.SmtpCarrier, '__exit__', False)", (1, MailState.SENT)),
    ],
)
def test_a_worker_killed_between_two_steps(point, expected, mail, other_processes, smtp_server):
    url = f"smtp://127.0.0.1:{smtp_server.port}"
    other_processes.hand_out()
    other_processes.run_until_killed(f"{KILL_AT}{point}\n{SEND.format(pk=mail.pk)}", MAIL_URL=url)
    after = recovered(other_processes, smtp_server, mail, url)
    assert (len(smtp_server.received), after.state(later())) == expected


def test_a_worker_killed_before_it_wrote_the_file_loses_nothing(mail, other_processes, tmp_path):
    folder = tmp_path / "mails"
    url = f"folder://{folder}"
    other_processes.hand_out()
    for point in (
        "dying(mail_carriers.os, 'fsync', True)",
        "dying(mail_carriers.FolderCarrier, 'give', True)",
    ):
        other_processes.run_until_killed(f"{KILL_AT}{point}\n{RECOVER_FROM.format(pk=mail.pk)}", MAIL_URL=url)
    other_processes.run(RECOVER_LATE, MAIL_URL=url)
    other_processes.take_back()
    mail.refresh_from_db()
    assert mail.state(later()) == MailState.SENT
    assert len(list(folder.glob("*.eml"))) == 1


#: Each next process comes after the claim of the one before it has ended.
RECOVER_FROM = """
from jobs.models import OutgoingMail
OutgoingMail.objects.update(claimed_at=None)
mail.mail_send(pk={pk}, now=timezone.now())
"""
RECOVER_LATE = """
from jobs.services.mail import mail_send, mails_left
now = timezone.now() + timedelta(minutes=30)
for pk in mails_left(now=now):
    mail_send(pk=pk, now=now)
"""


def test_killed_at_any_moment_no_mail_arrives_twice_and_none_is_lost(
    mail, other_processes, smtp_server, record_property
):
    url = f"smtp://127.0.0.1:{smtp_server.port}"
    mails = [
        mail,
        *(
            mail_queue(to="ada@house.example", subject=f"Due {n}", text="Dear Ada", now=timezone.now())
            for n in range(99)
        ),
    ]
    other_processes.hand_out()
    work = """
print("ready", flush=True)
from jobs.services.mail import mail_send
from jobs.models import OutgoingMail
for pk in OutgoingMail.objects.filter(OutgoingMail.waiting(timezone.now())).values_list("pk", flat=True):
    mail_send(pk=pk, now=timezone.now())
"""
    chance = random.Random(7)
    for _ in range(6):
        worker = other_processes.start(work, MAIL_URL=url)
        await_ready(worker)
        time.sleep(chance.uniform(0.05, 0.4))
        kill(worker)
    other_processes.run(RECOVER, MAIL_URL=url)
    other_processes.take_back()
    arrived = smtp_server.ids()
    assert len(arrived) == len(set(arrived))
    states = {one.message_id: one.state(later()) for one in OutgoingMail.objects.all()}
    assert len(states) == len(mails)
    doubtful = [key for key, state in states.items() if state == MailState.UNCERTAIN]
    assert set(states.values()) <= {MailState.SENT, MailState.UNCERTAIN}
    assert {key for key, state in states.items() if state == MailState.SENT} <= set(arrived)
    assert len(doubtful) <= 6
    record_property("mails", len(states))
    record_property("in doubt", len(doubtful))
