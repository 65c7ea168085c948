"""Without a mail server each mail is a file, whole or not there."""

from __future__ import annotations

import email
import email.policy
from datetime import timedelta

import pytest

from jobs.models import MailState, OutgoingMail
from jobs.services.mail import mail_queue, mail_send
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def folder(settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(tmp_path / "mail")
    return tmp_path / "mail"


@pytest.fixture
def mail() -> OutgoingMail:
    return mail_queue(to="ada@house.example", subject="Fällig", text="Grüße\n", now=NOW)


def test_it_writes_one_whole_file(mail, folder):
    assert mail_send(pk=mail.pk, now=NOW)
    (path,) = folder.iterdir()
    assert path.suffix == ".eml"
    message = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
    assert str(message["Message-ID"]) == mail.message_id
    assert message.get_content() == "Grüße\r\n"
    mail.refresh_from_db()
    assert mail.state(NOW) == MailState.SENT


def test_written_twice_it_is_still_one_file(mail, folder):
    mail_send(pk=mail.pk, now=NOW)
    OutgoingMail.objects.update(done_at=None, handed_over_at=None)
    assert mail_send(pk=mail.pk, now=NOW + timedelta(minutes=1))
    assert len(list(folder.iterdir())) == 1


def test_a_folder_that_cannot_be_written_is_said_and_tried_again(mail, folder):
    folder.parent.joinpath("mail").write_text("a file stands where the folder should")
    assert not mail_send(pk=mail.pk, now=NOW)
    mail.refresh_from_db()
    assert mail.state(NOW) == MailState.RETRY
    assert "cannot be made" in mail.last_error


def test_a_file_that_cannot_be_written_leaves_no_piece_behind(mail, folder, monkeypatch):
    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("jobs.services.mail_carriers.os.fsync", full)
    assert not mail_send(pk=mail.pk, now=NOW)
    mail.refresh_from_db()
    assert "No space left on device" in mail.last_error
    assert list(folder.iterdir()) == []
