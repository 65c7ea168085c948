"""What has become of a mail is asked of its times; page and database agree; a person decides in doubt."""

from __future__ import annotations

from datetime import timedelta
from itertools import product

import pytest

from jobs.errors import JobsError
from jobs.models import MailState, OutgoingMail
from jobs.services.mail import mail_mark_sent, mail_queue, mail_resend, mails_left
from tests.factories import NOW

pytestmark = pytest.mark.django_db
OLD, FRESH = NOW - timedelta(minutes=6), NOW - timedelta(minutes=1)
IN_DOUBT = {"claimed_at": OLD, "handed_over_at": OLD, "attempts": 1}


def made(**times) -> OutgoingMail:
    mail = mail_queue(to="ada@house.example", subject="Due", text="Dear Ada", now=NOW - timedelta(hours=1))
    OutgoingMail.objects.filter(pk=mail.pk).update(**times)
    mail.refresh_from_db()
    return mail


@pytest.mark.parametrize(
    ("times", "state"),
    [
        ({}, MailState.QUEUED),
        ({"claimed_at": FRESH, "attempts": 1}, MailState.SENDING),
        ({"claimed_at": FRESH, "handed_over_at": FRESH, "attempts": 1}, MailState.SENDING),
        ({"attempts": 1, "due_at": NOW + timedelta(minutes=5)}, MailState.RETRY),
        ({"claimed_at": OLD, "attempts": 1}, MailState.RETRY),
        (IN_DOUBT, MailState.UNCERTAIN),
        ({"handed_over_at": FRESH, "attempts": 1}, MailState.UNCERTAIN),
        ({"gave_up_at": OLD, "attempts": 1}, MailState.GAVE_UP),
        ({"handed_over_at": OLD, "done_at": OLD, "attempts": 1}, MailState.SENT),
    ],
)
def test_it_tells_the_state(times, state):
    assert made(**times).state(NOW) == state


def test_every_row_is_in_exactly_one_state_and_the_database_agrees():
    choices = {
        "claimed_at": [None, OLD, FRESH],
        "handed_over_at": [None, OLD, FRESH],
        "done_at": [None, OLD],
        "gave_up_at": [None, OLD],
        "attempts": [0, 1],
    }
    for values in product(*choices.values()):
        times = dict(zip(choices, values, strict=True))
        if times["done_at"] and not times["handed_over_at"]:
            continue
        if times["attempts"] == 0 and (times["claimed_at"] or times["handed_over_at"]):
            continue
        mail = made(**times)
        found = [
            state
            for state in MailState
            if OutgoingMail.objects.filter(OutgoingMail.in_state(state, NOW), pk=mail.pk).exists()
        ]
        assert found == [mail.state(NOW)], times


def test_a_worker_may_take_only_what_was_not_handed_over():
    free = [made(), made(claimed_at=OLD, attempts=1)]
    made(**IN_DOUBT)
    made(handed_over_at=OLD, attempts=1)
    made(claimed_at=FRESH, attempts=1)
    assert sorted(mails_left(now=NOW)) == sorted(mail.pk for mail in free)


@pytest.mark.parametrize(
    "times", [IN_DOUBT, {"gave_up_at": OLD, "attempts": 11}, {"attempts": 3, "due_at": NOW + timedelta(1)}]
)
def test_a_person_has_a_stuck_mail_sent_again_under_its_old_message_id(times, office):
    mail = made(**times)
    mail_resend(mail=mail, by=office, now=NOW)
    again = OutgoingMail.objects.get(pk=mail.pk)
    assert again.state(NOW) == MailState.QUEUED
    assert again.message_id == mail.message_id
    assert office.name in again.last_error
    assert mails_left(now=NOW) == [mail.pk]


@pytest.mark.parametrize(
    "times",
    [
        {"handed_over_at": OLD, "done_at": OLD, "attempts": 1},
        {"claimed_at": FRESH, "handed_over_at": FRESH, "attempts": 1},
        {},
    ],
)
def test_it_refuses_to_send_again_what_is_on_its_way(times, office):
    mail = made(**times)
    with pytest.raises(JobsError) as refusal:
        mail_resend(mail=mail, by=office, now=NOW)
    assert refusal.value.code == "nothing_to_resend"


def test_two_people_who_press_at_once_send_it_once(office):
    mail = made(**IN_DOUBT)
    mail_resend(mail=mail, by=office, now=NOW)
    with pytest.raises(JobsError):
        mail_resend(mail=mail, by=office, now=NOW)


def test_a_person_marks_a_mail_in_doubt_as_sent(office):
    mail = made(**IN_DOUBT)
    mail_mark_sent(mail=mail, by=office, now=NOW)
    mail.refresh_from_db()
    assert mail.state(NOW) == MailState.SENT
    assert office.name in mail.last_error


def test_it_refuses_to_mark_a_mail_that_is_not_in_doubt(office):
    mail = made(gave_up_at=OLD, attempts=1)
    with pytest.raises(JobsError) as refusal:
        mail_mark_sent(mail=mail, by=office, now=NOW)
    assert refusal.value.code == "nothing_to_mark"
