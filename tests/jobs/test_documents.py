"""Documents are rendered once, from what was frozen, whole or not at all."""

from __future__ import annotations

import hashlib
import re
from datetime import timedelta

import pytest
from django.core.files.storage import default_storage
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from jobs.errors import JobsError
from jobs.models import Document, DocumentState
from jobs.services import documents, papers
from jobs.services.documents import (
    RESTS,
    TRIES,
    document_content,
    document_render,
    document_request,
    document_retry,
    documents_left,
)
from jobs.tasks import render_document
from tests.factories import NOW, JobFactory


@pytest.fixture
def bells(monkeypatch) -> list[int]:
    rung: list[int] = []
    monkeypatch.setattr(render_document, "delay", rung.append)
    return rung


@pytest.fixture
def document(db) -> Document:
    return request()


@pytest.fixture
def quick(monkeypatch) -> list[dict]:
    """Stand in for the renderer where the test is about what happens around it."""
    seen: list[dict] = []

    def render(*, template, context):
        seen.append(context)
        return b"%PDF-1.7 " + template.encode()

    monkeypatch.setattr(papers, "paper_render", render)
    return seen


def request(**context) -> Document:
    return document_request(
        job=JobFactory(),
        kind="work pack",
        title="Work pack J-0001",
        context=context,
        for_customer=False,
        now=NOW,
    )


def fail_with(monkeypatch, error: BaseException) -> None:
    def render(**_):
        raise error

    monkeypatch.setattr(papers, "paper_render", render)


def test_it_rings_the_bell_only_when_the_callers_transaction_is_committed(
    db, bells, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        document = request()
        assert bells == []
    assert bells == [document.pk]


@pytest.mark.django_db(transaction=True)
def test_a_request_rolled_back_leaves_no_document_and_no_bell(bells):
    with transaction.atomic():
        request()
        transaction.set_rollback(True)
    assert not Document.objects.exists()
    assert bells == []


def test_what_is_no_plain_json_cannot_be_frozen(db):
    with pytest.raises(TypeError):
        request(when=NOW)


def test_it_records_the_file_and_its_hash(document, quick):
    assert document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    content = document_content(document=document)
    assert document.sha256 == hashlib.sha256(content).hexdigest()
    assert (document.done_at, document.claimed_at, document.state) == (NOW, None, DocumentState.READY)


def test_it_renders_the_frozen_context_and_not_what_the_rows_say_now(db, quick):
    document = request(customer={"name": "As it was"})
    document.job.installation.site.customer.name = "Changed since"
    document.job.installation.site.customer.save()
    document_render(pk=document.pk, now=NOW)
    assert quick == [{"customer": {"name": "As it was"}}]


def test_rendering_reads_and_writes_no_row_but_its_own_and_the_log(document, quick):
    with CaptureQueriesContext(connection) as queries:
        assert document_render(pk=document.pk, now=NOW)
    told = [query["sql"] for query in queries if "SAVEPOINT" not in query["sql"]]
    tables = {name for sql in told for name in re.findall(r'(?:FROM|INTO|UPDATE) "(\w+)"', sql)}
    assert tables == {"jobs_document", "jobs_job", "jobs_evidenceevent"}
    assert len(told) == 7


def test_a_finished_document_is_never_rendered_again(document, quick):
    assert document_render(pk=document.pk, now=NOW)
    assert not document_render(pk=document.pk, now=NOW + timedelta(days=1))
    assert len(quick) == 1


def test_a_document_another_worker_has_in_hand_is_left_alone(document, quick):
    assert Document.claim(document.pk, NOW)
    assert not document_render(pk=document.pk, now=NOW + timedelta(minutes=1))
    assert quick == []


def test_a_document_not_yet_due_waits(document, quick):
    assert not document_render(pk=document.pk, now=NOW - timedelta(seconds=1))
    assert quick == []


def test_a_failure_is_written_down_in_a_sentence_and_tried_again_later(document, monkeypatch):
    fail_with(monkeypatch, JobsError("font_missing", "A font is missing. Run bin/setup."))
    assert not document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    assert document.state == DocumentState.RETRY
    assert document.last_error == "A font is missing. Run bin/setup."
    assert (document.due_at, document.done_at, document.file.name) == (NOW + RESTS[0], None, "")


def test_an_unforeseen_error_is_written_down_too(document, monkeypatch, caplog):
    fail_with(monkeypatch, OSError("disk full"))
    document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    assert "disk full" in document.last_error
    assert "could not be made" in caplog.text


def test_the_rests_between_tries_grow_until_it_gives_up(document, monkeypatch):
    fail_with(monkeypatch, OSError("disk full"))
    now, rests = NOW, []
    for _ in range(TRIES):
        document_render(pk=document.pk, now=now)
        document.refresh_from_db()
        rests.append(document.due_at - now)
        now = document.due_at
    assert tuple(rests[:-1]) == RESTS
    assert rests == sorted(rests)
    assert document.state == DocumentState.FAILED
    assert documents_left(now=now + timedelta(days=30)) == []


def test_a_document_that_kills_its_worker_every_time_is_given_up(document, quick):
    for number in range(TRIES):
        assert Document.claim(document.pk, NOW + number * timedelta(minutes=6))
    document_render(pk=document.pk, now=NOW + timedelta(hours=1))
    document.refresh_from_db()
    assert document.state == DocumentState.FAILED
    assert "stopped in the middle" in document.last_error
    assert quick == []


def test_try_again_gives_a_failed_document_all_its_tries_back(
    document, monkeypatch, bells, django_capture_on_commit_callbacks
):
    fail_with(monkeypatch, OSError("disk full"))
    Document.objects.update(attempts=TRIES - 1)
    document_render(pk=document.pk, now=NOW)
    later = NOW + timedelta(hours=5)
    with django_capture_on_commit_callbacks(execute=True):
        document_retry(document=document, now=later)
    document.refresh_from_db()
    assert (document.attempts, document.due_at, document.gave_up_at) == (0, later, None)
    assert bells == [document.pk]


@pytest.mark.parametrize("state", ["fresh", "claimed", "done"])
def test_try_again_is_refused_unless_it_failed(state, document, quick):
    if state == "claimed":
        Document.objects.update(last_error="Was bad", claimed_at=NOW)
    if state == "done":
        document_render(pk=document.pk, now=NOW)
    with pytest.raises(JobsError) as refusal:
        document_retry(document=document, now=NOW)
    assert refusal.value.code == "nothing_to_retry"


def test_left_documents_are_found_oldest_first(db, quick):
    first, second = request(), request()
    Document.objects.filter(pk=first.pk).update(due_at=NOW + timedelta(minutes=1))
    assert documents_left(now=NOW) == [second.pk]
    assert documents_left(now=NOW + timedelta(minutes=1)) == [second.pk, first.pk]


def test_a_slow_worker_that_lost_its_claim_changes_nothing(document, monkeypatch):
    late = NOW + Document.LEASE + timedelta(seconds=1)

    def slow(*, template, context):
        monkeypatch.setattr(papers, "paper_render", lambda **_: b"%PDF the quick one")
        assert document_render(pk=document.pk, now=late)
        return b"%PDF the slow one"

    monkeypatch.setattr(papers, "paper_render", slow)
    assert not document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    assert document_content(document=document) == b"%PDF the quick one"
    assert document.done_at == late


def test_what_a_killed_attempt_left_is_removed_when_the_document_is_done(document, quick):
    stem = f"documents/{document.job_id}/{document.pk}-"
    folder = f"{default_storage.location}/documents/{document.job_id}"
    documents.file_keep(name=f"{stem}0123456789abcdef.pdf", content=b"%PDF whole, never recorded")
    with open(f"{folder}/.{document.pk}-cut.pdf.short", "wb") as half:
        half.write(b"%PD")
    documents.file_keep(name=f"documents/{document.job_id}/{document.pk}1-other.pdf", content=b"another's")
    document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    kept = set(default_storage.listdir(f"documents/{document.job_id}")[1])
    assert kept == {document.file.name.rpartition("/")[2], f"{document.pk}1-other.pdf"}


def test_a_file_changed_on_the_disk_is_not_handed_out(document, quick):
    document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    with open(document.file.path, "ab") as file:
        file.write(b"x")
    with pytest.raises(JobsError) as refusal:
        document_content(document=document)
    assert refusal.value.code == "document_altered"


def test_a_file_lost_from_the_disk_is_said_to_be_missing(document, quick):
    document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    default_storage.delete(document.file.name)
    with pytest.raises(JobsError) as refusal:
        document_content(document=document)
    assert refusal.value.code == "document_missing"
