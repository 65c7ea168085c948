"""A mail is written in the caller's transaction, and nothing in it can forge a header."""

from __future__ import annotations

import email
import email.policy
import re

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings, strategies

from jobs.errors import JobsError
from jobs.models import OutgoingMail, Shop
from jobs.services.mail import mail_queue
from jobs.services.mail_carriers import dot_stuffed
from jobs.services.mail_message import mail_bytes
from tests.factories import NOW

pytestmark = pytest.mark.django_db
UNSUBSCRIBE = f"<https://stoves.a-rather-long-name.example/c/{'x' * 43}/stop/>, <mailto:office@shop.example>"


@pytest.fixture
def bell(monkeypatch) -> list[int]:
    """Collect the keys the worker is rung for."""
    rung: list[int] = []
    monkeypatch.setattr("jobs.tasks.mail.send_mail.delay", rung.append)
    return rung


def queue(**changes) -> OutgoingMail:
    told = {"to": "ada@house.example", "subject": "Sweep due", "text": "Dear Ada\n", "now": NOW}
    return mail_queue(**{**told, **changes})


def parsed(mail: OutgoingMail):
    return email.message_from_bytes(mail_bytes(mail), policy=email.policy.default)


def test_it_rings_for_the_worker_only_after_the_commit(bell, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        mail = queue()
        assert bell == []
    assert bell == [mail.pk]


def test_a_mail_goes_with_the_transaction_it_was_written_in(bell):
    def fail_after_queueing():
        with transaction.atomic():
            queue()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_after_queueing()
    assert not OutgoingMail.objects.exists()
    assert bell == []


def test_it_keeps_one_message_id_and_the_same_bytes_at_every_attempt():
    mail = queue(html="<p>Dear Ada</p>")
    other = queue()
    assert re.fullmatch(r"<[0-9a-f]{32}@[^<>@]+>", mail.message_id)
    assert mail.message_id != other.message_id
    again = OutgoingMail.objects.get(pk=mail.pk)
    assert mail_bytes(again) == mail_bytes(mail)
    assert str(parsed(mail)["Message-ID"]) == mail.message_id


# RFC 3834, 5: Auto-Submitted keeps automatic replies away.
def test_it_says_that_a_machine_wrote_it():
    assert parsed(queue())["Auto-Submitted"] == "auto-generated"


def test_it_carries_text_and_html_as_alternatives():
    message = parsed(queue(text="Grüße\n", html="<p>Grüße</p>"))
    assert message.get_content_type() == "multipart/alternative"
    assert [part.get_content_type() for part in message.iter_parts()] == ["text/plain", "text/html"]
    assert [part.get_content().strip() for part in message.iter_parts()] == ["Grüße", "<p>Grüße</p>"]


def test_names_and_subjects_keep_their_letters():
    shop = Shop.current()
    Shop.objects.filter(pk=shop.pk).update(name='Öfen "am Bach", Żółć & Söhne')
    message = parsed(queue(subject="Fällig: Überprüfung in der Straße — Żółć 🔥"))
    assert message["Subject"] == "Fällig: Überprüfung in der Straße — Żółć 🔥"
    assert message["From"].addresses[0].display_name == 'Öfen "am Bach", Żółć & Söhne'


# münchen is xn--mnchen-3ya: the usual worked example of Punycode (RFC 3492), from memory.
def test_an_address_with_a_foreign_domain_travels_in_ascii():
    message = parsed(queue(to="ada@münchen.example"))
    assert message["To"].addresses[0].addr_spec == "ada@xn--mnchen-3ya.example"


# RFC 2369: the addresses stand in plain text; RFC 5322, 2.1.1: no line above 998 characters.
def test_the_unsubscribe_address_is_not_broken_or_encoded():
    content = mail_bytes(queue(headers={"List-Unsubscribe": UNSUBSCRIBE}))
    assert b"=?" not in content
    assert UNSUBSCRIBE.replace(", ", ",\r\n ").encode() in content
    assert max(map(len, content.split(b"\r\n"))) <= 998


@pytest.mark.parametrize(
    "address", ["", "ada", "ada@", "ada@house.example\nBcc: x@y.example", "a b@c.example"]
)
def test_it_refuses_what_is_no_address(address):
    with pytest.raises(JobsError) as refusal:
        queue(to=address)
    assert refusal.value.code == "bad_address"


@pytest.mark.parametrize(
    "headers",
    [
        {"List-Unsubscribe": "<https://x.example>\r\nBcc: all@house.example"},
        {"X-Note\r\nBcc": "all@house.example"},
        {"X-Note": "a\x00b"},
        {"X-Note": "a\u2028b"},
        {"Bcc": "all@house.example"},
        {"message-id": "<other@shop.example>"},
        {"Content-Type": "text/html"},
        {"X-Note": "x" * 998},
    ],
)
def test_it_refuses_headers_that_smuggle_or_replace(headers):
    with pytest.raises(JobsError) as refusal:
        queue(headers=headers)
    assert refusal.value.code == "bad_header"


def test_a_subject_of_many_lines_becomes_one():
    mail = queue(subject="Sweep due\r\nBcc: all@house.example\n\n\x00now")
    assert mail.subject == "Sweep due Bcc: all@house.example now"
    assert parsed(mail)["Bcc"] is None


def test_a_long_subject_is_cut_with_an_ellipsis():
    mail = queue(subject="Sweep " * 60)
    assert len(mail.subject) <= 200
    assert mail.subject.endswith("…")


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(subject=strategies.text(max_size=300), name=strategies.text(max_size=120), text=strategies.text())
def test_whatever_is_typed_the_mail_has_just_its_own_headers(subject, name, text):
    Shop.current()
    name = name.replace("\x00", "")
    Shop.objects.update(name=name)
    content = mail_bytes(queue(subject=subject, text=text))
    head = content.partition(b"\r\n\r\n")[0]
    names = [line.split(b":")[0].decode() for line in head.split(b"\r\n") if line[:1] not in b" \t"]
    assert sorted(names) == sorted(
        ["From", "To", "Subject", "Date", "Message-ID", "Auto-Submitted", "Content-Type",
         "Content-Transfer-Encoding", "MIME-Version"]
    )  # fmt: skip
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)", content)
    assert all(byte < 128 for byte in content)
    assert all(len(line) <= 998 for line in content.split(b"\r\n"))


# RFC 5321, 4.5.2: a line that begins with a dot gets another; the text ends with a lone dot.
def test_it_doubles_leading_dots_and_ends_with_one():
    assert dot_stuffed(b".\r\n..a\nb.\r") == b"..\r\n...a\r\nb.\r\n.\r\n"
    assert dot_stuffed(b"a") == b"a\r\n.\r\n"
