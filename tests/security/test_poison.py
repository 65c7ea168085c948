"""One bad row, file or bell holds up no other."""

from __future__ import annotations

import pytest
from django.utils import timezone
from kombu import Connection

from config import broker
from inspections.models import Photo
from inspections.services import photo_copies
from inspections.services.photo_copies import photo_prepare
from inspections.tasks import pick_up_left_photos
from jobs.models import Document, OutgoingMail, Reminder
from jobs.services import mail, papers, reminders
from jobs.services.mail import mail_queue
from jobs.services.reminders import reminders_queue
from jobs.services.work_pack import work_pack_request
from jobs.tasks import pick_up_left_documents, pick_up_left_mail
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin, photo_make


@pytest.mark.parametrize("left", [b"", b"[]", b'{"body": "x"}', b'{"body": "abc', b"\x00" * 300, b"\xff\xfe"])
def test_a_bell_that_cannot_be_read_is_passed_over(left, tmp_path, caplog):
    broker.register()
    with Connection("folder://localhost", transport_options={"folder": str(tmp_path)}) as connection:
        queue = connection.SimpleQueue("celery")
        (tmp_path / "00000000000000000000_cut-short.celery.msg").write_bytes(left)
        queue.put({"n": 7})
        message = queue.get(timeout=5)
        assert message.payload == {"n": 7}
        message.ack()
    assert list(tmp_path.iterdir()) == []
    assert "thrown away" in caplog.text


@pytest.fixture
def second_only(monkeypatch):
    """Return a function that makes something stumble the first time it is called."""

    def stumble(module, name: str) -> None:
        whole, calls = getattr(module, name), []

        def first_stumbles(*given, **told):
            calls.append(given)
            if len(calls) == 1:
                raise AttributeError("nobody thought of this")
            return whole(*given, **told)

        monkeypatch.setattr(module, name, first_stumbles)

    return stumble


@pytest.mark.django_db
@pytest.mark.parametrize("where", ["mail_bytes", "carrier_open", "receiver_address"])
def test_a_mail_nobody_can_make_holds_up_no_other(where, second_only, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(tmp_path / "out")
    bad, good = (mail_queue(to="a@house.example", subject="Due", text=text, now=NOW) for text in "12")
    second_only(mail, where)
    pick_up_left_mail()
    bad.refresh_from_db()
    good.refresh_from_db()
    assert good.done_at
    assert not bad.done_at
    assert bad.attempts == 1
    assert not OutgoingMail.objects.filter(OutgoingMail.waiting(timezone.now())).exists()


@pytest.mark.django_db
def test_a_photo_that_breaks_the_maker_of_copies_holds_up_no_other(
    second_only, office, installer, technician
):
    job = job_ready_to_begin(office=office, crew=technician.crew)
    bad, good = (photo_make(job=job, by=installer, number=number) for number in (1, 2))
    second_only(photo_copies, "picture_copy")
    pick_up_left_photos()
    assert Photo.objects.get(pk=good.pk).done_at
    left = Photo.objects.get(pk=bad.pk)
    assert left.claimed_at is None
    assert "AttributeError" in left.last_error
    assert photo_prepare(pk=bad.pk, now=left.due_at)


@pytest.mark.django_db
def test_a_paper_that_breaks_its_maker_holds_up_no_other(second_only, office, technician, monkeypatch):
    monkeypatch.setattr(papers, "paper_render", lambda **told: b"%PDF-1.7")
    job = job_ready_to_begin(office=office, crew=technician.crew)
    bad, good = (work_pack_request(job=job, by=office, now=NOW) for _ in range(2))
    second_only(papers, "paper_render")
    pick_up_left_documents()
    assert Document.objects.get(pk=good.pk).done_at
    assert "AttributeError" in Document.objects.get(pk=bad.pk).last_error


@pytest.mark.django_db
def test_a_house_nobody_can_write_to_holds_up_no_other(second_only, office, technician):
    for _ in range(2):
        job = job_ready_to_begin(office=office, crew=technician.crew)
        job.installation.services.create(kind="sweep", last_done_on="2025-05-01", next_due_on="2026-05-20")
    second_only(reminders, "reminder_letter")
    assert reminders_queue(now=NOW) == 1
    assert Reminder.objects.count() == 1
    assert reminders_queue(now=NOW) == 1
