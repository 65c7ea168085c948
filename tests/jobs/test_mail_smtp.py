"""What the mail server answers decides what becomes of a mail."""

from __future__ import annotations

import ipaddress
import socket
import ssl
from datetime import UTC, datetime, timedelta

import pytest
from aiosmtpd.smtp import AuthResult
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from jobs.models import MailState, OutgoingMail
from jobs.services.mail import RESTS, TRIES, mail_queue, mail_send, mails_left, mails_send_left
from jobs.services.mail_carriers import SmtpCarrier
from tests.factories import NOW
from tests.jobs.smtp_server import DROP, HANG, SmtpServer

pytestmark = pytest.mark.django_db
BEFORE_THE_TEXT = ["greeting", "EHLO", "MAIL", "RCPT", "DATA"]
MUCH_LATER = NOW + timedelta(days=3)


@pytest.fixture
def mail() -> OutgoingMail:
    return mail_queue(
        to="ada@house.example",
        subject="Kehrtermin fällig",
        text="Grüße\n.\n.dot\n" + "x" * 2000,
        html="<p>Grüße</p>",
        now=NOW,
    )


def sent(mail: OutgoingMail, now: datetime = NOW) -> OutgoingMail:
    mail_send(pk=mail.pk, now=now)
    return OutgoingMail.objects.get(pk=mail.pk)


def test_it_sends_once_and_says_so(mail, smtp_server, over_smtp):
    over_smtp(smtp_server)
    assert mail_send(pk=mail.pk, now=NOW)
    assert not mail_send(pk=mail.pk, now=NOW + timedelta(hours=1))
    mail.refresh_from_db()
    assert smtp_server.ids() == [mail.message_id]
    assert mail.state(MUCH_LATER) == MailState.SENT
    assert NOW <= mail.handed_over_at <= mail.done_at
    assert mail.last_error == ""


def test_what_arrives_is_what_was_written(mail, smtp_server, over_smtp):
    over_smtp(smtp_server)
    sent(mail)
    arrived = smtp_server.received[0]
    assert (arrived.sender, arrived.to) == ("office@shop.example", ["ada@house.example"])
    assert arrived.message["Subject"] == "Kehrtermin fällig"
    text, html = arrived.message.iter_parts()
    assert text.get_content().splitlines() == mail.text.splitlines()
    assert html.get_content().strip() == "<p>Grüße</p>"


@pytest.mark.parametrize("point", ["MAIL", "RCPT", "DATA", "answer"])
def test_it_tries_again_after_a_4xx(mail, point, smtp_server, over_smtp):
    over_smtp(smtp_server)
    smtp_server.behave(**{point: "452 4.2.2 Mailbox full"})
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert after.handed_over_at is None
    assert after.claimed_at is None
    assert after.due_at == NOW + RESTS[0]
    assert "452 4.2.2 Mailbox full" in after.last_error
    smtp_server.behave()
    assert sent(mail, after.due_at).state(MUCH_LATER) == MailState.SENT
    assert smtp_server.ids() == [mail.message_id]


@pytest.mark.parametrize("point", ["MAIL", "RCPT", "DATA", "answer"])
def test_it_gives_up_after_a_5xx_with_the_servers_sentence(mail, point, smtp_server, over_smtp):
    over_smtp(smtp_server)
    smtp_server.behave(**{point: "550 5.1.1 Nobody of that name"})
    after = sent(mail)
    assert after.state(NOW) == MailState.GAVE_UP
    assert "550 5.1.1 Nobody of that name" in after.last_error
    assert after.handed_over_at is None
    smtp_server.behave()
    assert mails_left(now=MUCH_LATER) == []
    assert not mail_send(pk=mail.pk, now=MUCH_LATER)
    assert smtp_server.received == []


# RFC 4954, 6: 530 asks for a sign-in, 535 says the password is wrong; neither speaks of this mail.
@pytest.mark.parametrize(
    ("point", "reply"),
    [("greeting", "554 5.3.2 Closed today"), ("EHLO", "550 No"), ("MAIL", "530 5.7.0 Sign in first")],
)
def test_trouble_with_the_shops_own_set_up_is_tried_again(mail, point, reply, smtp_server, over_smtp):
    over_smtp(smtp_server)
    smtp_server.behave(**{point: reply})
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert reply[:3] in after.last_error


@pytest.mark.parametrize("point", BEFORE_THE_TEXT)
def test_it_tries_again_when_the_line_drops_before_the_text(mail, point, smtp_server, over_smtp):
    over_smtp(smtp_server)
    smtp_server.behave(**{point: DROP})
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert after.handed_over_at is None
    smtp_server.behave()
    assert sent(mail, after.due_at).state(MUCH_LATER) == MailState.SENT
    assert smtp_server.ids() == [mail.message_id]


@pytest.mark.parametrize("point", ["text", "answer"])
def test_it_never_sends_again_when_the_line_drops_after_the_text_was_given(
    mail, point, smtp_server, over_smtp
):
    over_smtp(smtp_server)
    smtp_server.behave(**{point: DROP})
    after = sent(mail)
    assert after.state(NOW) == MailState.UNCERTAIN
    assert "did not answer" in after.last_error
    smtp_server.behave()
    assert mails_left(now=MUCH_LATER) == []
    assert not mail_send(pk=mail.pk, now=MUCH_LATER)
    assert len(smtp_server.received) == (1 if point == "answer" else 0)


@pytest.mark.parametrize("point", BEFORE_THE_TEXT)
def test_it_tries_again_when_the_server_says_nothing(mail, point, smtp_server, over_smtp):
    over_smtp(smtp_server, EMAIL_TIMEOUT=0.3)
    smtp_server.behave(**{point: HANG})
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert "time" in after.last_error


def test_a_server_that_never_answers_the_text_leaves_the_mail_in_doubt(
    mail, smtp_server, over_smtp, monkeypatch
):
    over_smtp(smtp_server)
    monkeypatch.setattr("jobs.services.mail_carriers.ANSWER_TIMEOUT", 0.3)
    smtp_server.behave(answer=HANG)
    assert sent(mail).state(NOW) == MailState.UNCERTAIN
    assert smtp_server.ids() == [mail.message_id]


def test_an_answer_that_is_no_smtp_leaves_the_mail_in_doubt(mail, smtp_server, over_smtp):
    over_smtp(smtp_server)
    smtp_server.behave(answer="all right then")
    assert sent(mail).state(NOW) == MailState.UNCERTAIN


def test_it_rests_longer_each_time_and_gives_up_after_the_last_try(mail, settings):
    with socket.socket() as unused:
        unused.bind(("127.0.0.1", 0))
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", unused.getsockname()[1]
        now, rests = NOW, []
        for _ in range(TRIES):
            assert mails_left(now=now) == [mail.pk]
            after = sent(mail, now)
            rests.append(after.due_at - now)
            now = after.due_at
    assert tuple(rests[:-1]) == RESTS
    assert sorted(rests) == rests
    # RFC 5321, 4.5.4.1: a sender goes on for at least 4 to 5 days.
    assert sum(RESTS, timedelta()) >= timedelta(days=3.9)
    assert after.state(now) == MailState.GAVE_UP
    assert "refused" in after.last_error


def test_a_pick_up_sends_what_was_left_and_stops_when_its_time_is_over(
    mail, smtp_server, over_smtp, monkeypatch
):
    over_smtp(smtp_server)
    for _ in range(2):
        mail_queue(to="ben@house.example", subject="Due", text="Dear Ben", now=NOW)
    monkeypatch.setattr("jobs.services.mail.PICK_UP_FOR", -1.0)
    assert mails_send_left(now=NOW) == 0
    monkeypatch.setattr("jobs.services.mail.PICK_UP_FOR", 20.0)
    assert mails_send_left(now=NOW) == 3
    assert mails_send_left(now=NOW) == 0
    assert len(set(smtp_server.ids())) == 3


def test_a_mail_that_kills_its_worker_every_time_is_given_up(mail, smtp_server, over_smtp):
    over_smtp(smtp_server)
    OutgoingMail.objects.filter(pk=mail.pk).update(attempts=TRIES)
    after = sent(mail)
    assert after.state(NOW) == MailState.GAVE_UP
    assert smtp_server.received == []


def test_a_worker_whose_claim_was_taken_over_gives_nothing_away(mail, smtp_server, over_smtp, monkeypatch):
    asked = SmtpCarrier.ask

    def slow(self, **told):
        asked(self, **told)
        OutgoingMail.objects.filter(pk=mail.pk).update(claimed_at=NOW + timedelta(minutes=6))

    over_smtp(smtp_server)
    monkeypatch.setattr(SmtpCarrier, "ask", slow)
    assert not mail_send(pk=mail.pk, now=NOW)
    mail.refresh_from_db()
    assert mail.handed_over_at is None
    assert smtp_server.received == []


@pytest.mark.parametrize("change", [{"due_at": NOW + timedelta(seconds=1)}, {"claimed_at": NOW}])
def test_it_leaves_a_mail_that_is_not_due_or_in_other_hands(mail, change, smtp_server, over_smtp):
    over_smtp(smtp_server)
    OutgoingMail.objects.filter(pk=mail.pk).update(**change)
    assert not mail_send(pk=mail.pk, now=NOW)
    assert smtp_server.received == []


def test_a_row_that_no_mail_can_be_made_of_is_given_up(mail, smtp_server, over_smtp):
    over_smtp(smtp_server)
    OutgoingMail.objects.filter(pk=mail.pk).update(headers={"X-Note": "a\r\nBcc: all@house.example"})
    after = sent(mail)
    assert after.state(NOW) == MailState.GAVE_UP
    assert "one line" in after.last_error
    assert smtp_server.received == []


def test_a_mail_setting_nobody_knows_is_said_and_tried_again(mail, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.dummy.EmailBackend"
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert "MAIL_URL" in after.last_error


@pytest.fixture(scope="module")
def certificate(tmp_path_factory):
    """A certificate for 127.0.0.1 that stands for itself."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "mail.test")])
    day = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(day - timedelta(days=1))
        .not_valid_after(day + timedelta(days=1))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]), False
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), True)
        .sign(key, hashes.SHA256())
    )
    path = tmp_path_factory.mktemp("tls") / "server.pem"
    path.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )
        + made.public_bytes(serialization.Encoding.PEM)
    )
    return path


@pytest.fixture
def tls_server(certificate):
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)

    def authenticate(server, session, envelope, mechanism, data):
        right = (data.login, data.password) == (b"shop", b"right")
        return AuthResult(success=right, handled=right)

    server = SmtpServer({"tls_context": context, "authenticator": authenticate}).start()
    yield server
    server.stop()


def test_it_speaks_starttls_and_signs_in(mail, tls_server, over_smtp, certificate, monkeypatch):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    over_smtp(tls_server, EMAIL_USE_TLS=True, EMAIL_HOST_USER="shop", EMAIL_HOST_PASSWORD="right")
    assert sent(mail).state(MUCH_LATER) == MailState.SENT
    assert tls_server.received[0].over_tls


def test_a_wrong_password_is_said_and_tried_again(mail, tls_server, over_smtp, certificate, monkeypatch):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    over_smtp(tls_server, EMAIL_USE_TLS=True, EMAIL_HOST_USER="shop", EMAIL_HOST_PASSWORD="wrong")
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert "535" in after.last_error


def test_it_gives_nothing_to_a_server_whose_certificate_it_does_not_trust(mail, tls_server, over_smtp):
    over_smtp(tls_server, EMAIL_USE_TLS=True)
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert "certificate" in after.last_error
    assert tls_server.received == []


def test_it_never_falls_back_to_a_plain_line(mail, smtp_server, over_smtp):
    over_smtp(smtp_server, EMAIL_USE_TLS=True)
    after = sent(mail)
    assert after.state(NOW) == MailState.RETRY
    assert "STARTTLS" in after.last_error
    assert smtp_server.received == []
