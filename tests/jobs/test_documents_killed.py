"""kill -9 at every step of rendering: either no file is recorded or a whole one, and it is made later."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from django.utils import timezone

from jobs.models import Document
from jobs.services.documents import document_content, document_request
from tests.factories import JobFactory

#: Kills the process when it is about to call a function, or just after; the renderer is a quick stand-in.
KILL_AT = """
import signal
from django.utils import timezone
from pathlib import Path
from jobs.services import documents, kept_files, papers
papers.paper_render = lambda **_: b"%PDF-1.7 " + b"x" * 100_000
def dying(owner, name, after):
    call = getattr(owner, name)
    def die(*args, **told):
        if after:
            call(*args, **told)
        os.kill(os.getpid(), signal.SIGKILL)
    setattr(owner, name, die)
"""
RENDER = "documents.document_render(pk={pk}, now=timezone.now())"
LATER = """
now = timezone.now() + timedelta(minutes=6)
for pk in documents.documents_left(now=now):
    documents.document_render(pk=pk, now=now)
"""
POINTS = {
    "claimed": "dying(papers, 'paper_render', False)",
    "rendered": "dying(documents, 'file_keep', False)",
    "file half written": "dying(kept_files.os, 'fsync', False)",
    "file written, not yet under its name": "dying(Path, 'replace', False)",
    "file whole under its name": "dying(kept_files, '_flush_folder', True)",
    "about to record": "dying(documents, '_record_file', False)",
    "recorded": "dying(documents, 'file_drop_others', False)",
}


@pytest.fixture
def document(transactional_db, monkeypatch) -> Document:
    monkeypatch.setattr("jobs.tasks.documents.render_document.delay", lambda pk: None)
    return document_request(
        job=JobFactory(),
        kind="work pack",
        title="Work pack",
        context={},
        for_customer=False,
        now=timezone.now(),
    )


@pytest.mark.parametrize("point", POINTS)
def test_a_worker_killed_at_any_step_leaves_no_file_recorded_or_a_whole_one(
    point, document, other_processes, tmp_path: Path
):
    media = {"MEDIA_DIR": str(tmp_path / "media")}
    other_processes.hand_out()
    other_processes.run_until_killed(f"{KILL_AT}{POINTS[point]}\n{RENDER.format(pk=document.pk)}", **media)
    other_processes.take_back()
    document.refresh_from_db()
    if document.done_at is None:
        assert (document.file.name, document.sha256) == ("", "")
    else:
        assert hashlib.sha256(document_content(document=document)).hexdigest() == document.sha256
    assert (document.done_at is not None) == (point == "recorded")

    other_processes.hand_out()
    other_processes.run(f"{KILL_AT}{LATER}", **media)
    other_processes.take_back()
    document.refresh_from_db()
    assert len(document_content(document=document)) == 100_009
    if point != "recorded":
        assert [one.name for one in Path(document.file.path).parent.iterdir()] == [
            Path(document.file.name).name
        ]
