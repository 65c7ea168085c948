"""kill -9 at every step of issuing: no certificate or a whole one, numbers without gaps, one file left."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from django.apps import apps
from django.db import connection

from config.evidence import ROWS
from inspections.models import Certificate, SiteRecord
from jobs.evidence_guards import guards_lay, guards_take_off
from jobs.models import Document, Job, JobStatus, Shop, User
from jobs.services.documents import document_content, documents_left
from tests.factories import NOW
from tests.inspections.closing import job_closed, job_ready_to_begin, work_through
from tests.inspections.kill_points import (
    COMMITTED,
    FIRST_KEY,
    PAPER,
    PRELUDE,
    RECORDED,
    STATEMENT,
    act,
    killed_at,
)
from tests.inspections.reopened import put_right
from tests.jobs.nursery import Nursery
from tests.jobs.other_processes import Shop as Processes
from tests.seals import pdfsig
from tests.stamps import StampServer, stamp_server

#: As the worker makes it, with a page drawn in no time.
RENDER = """
papers.paper_render = lambda **_: blank
settings.TIMESTAMP_URL = {url!r}
{point}
now = datetime.now(UTC)
documents.document_render(pk={pk}, now=now)
"""
#: As the scheduled pick-up does, when the dead worker's claim has grown old.
PICK_UP = """
settings.TIMESTAMP_URL = {url!r}
now = datetime.now(UTC) + timedelta(minutes=6)
for pk in documents.documents_left(now=now):
    documents.document_render(pk=pk, now=now)
"""
BLANK = "papers.paper_render = lambda **_: blank\n"
#: Does an act and says how it was refused, if it was.
TRY = """
try:
{act}
except InspectionsError as error:
    print(error.code, end="", flush=True)
"""


@pytest.fixture(scope="module")
def nursery(django_db_setup, tmp_path_factory) -> Iterator[Nursery]:
    shop = Processes(tmp_path_factory.mktemp("killed"))
    yield Nursery(shop, PRELUDE)
    shop.end()


@pytest.fixture
def media(nursery, settings) -> Path:
    """Where the forked processes keep their files, for this process to look at."""
    settings.MEDIA_ROOT = nursery.media
    shutil.rmtree(nursery.media, ignore_errors=True)
    return nursery.media


@pytest.fixture
def record(transactional_db, office, technician, installer, inspector) -> SiteRecord:
    """A sweep that waits for its sign-off."""
    Shop.current()
    job = job_ready_to_begin(office=office, crew=technician.crew, kind="annual sweep")
    return work_through(job=job, by=installer, inspector=inspector)


@pytest.fixture
def certificate(transactional_db, office, installer, inspector) -> Certificate:
    told = {"office": office, "installer": installer, "inspector": inspector, "kind": "annual sweep"}
    return job_closed(**told).certificates.get()


def everything() -> dict[str, list[tuple]]:
    """Every row of the shop."""
    models = [model for app in ("jobs", "inspections") for model in apps.get_app_config(app).get_models()]
    return {model.__name__: list(model.objects.order_by("pk").values_list()) for model in models}


def numbers() -> list[int]:
    return sorted(Certificate.objects.values_list("number", flat=True))


def counting() -> int:
    """How many certificates count."""
    return Certificate.objects.filter(superseded_by=None, withdrawal=None).count()


def die_everywhere(nursery: Nursery, name: str, by: User, at: float) -> int:
    """Kill an act before each statement that writes and before its commit; then just after the commit."""
    code, before = act(name, by=by.pk, at=at), everything()
    for nth in range(1, 200):
        (ended,) = nursery.run(STATEMENT.format(nth=nth) + code)
        assert ended.killed, (name, nth, ended.said)
        assert everything() == before, f"{name}: killed before write {nth}, something of it stayed"
        if "about to commit" in ended.said:
            break
    (ended,) = nursery.run(COMMITTED + code)
    assert ended.killed, (name, ended.said)
    assert everything() != before
    return nth - 1


def test_every_act_killed_at_any_statement_is_whole_or_not_there(nursery, record, installer, inspector):
    """Sign off, issue again, reopen, sign off again, withdraw: one life of a certificate."""
    writes = []
    for at, (name, status, count, counts) in enumerate(
        [
            ("sign off", JobStatus.CLOSED, 1, 1),
            ("reissue", JobStatus.CLOSED, 2, 1),
            ("reopen", JobStatus.ON_SITE, 2, 0),
            ("sign off", JobStatus.CLOSED, 3, 1),
            ("withdraw", JobStatus.CLOSED, 3, 0),
            ("reissue", JobStatus.CLOSED, 4, 1),
        ],
        start=3,
    ):
        writes.append(die_everywhere(nursery, name, inspector, at))
        assert Job.objects.get().status == status, name
        assert numbers() == list(range(1, count + 1)), name
        assert counting() == counts, name
        for one in Certificate.objects.select_related("document"):
            assert one.document.title == f"Sweep report {one.serial}"
            assert one.document.context["serial"] == one.serial
            # Whoever was killed just after the commit rang no bell: the pick-up finds the row.
            assert one.document_id in documents_left(now=NOW.replace(year=2027))
        if name == "reopen":
            put_right(record, installer, now=NOW.replace(day=5))
    chain = Certificate.objects.order_by("number").values_list("number", "supersedes__number")
    assert list(chain) == [(1, None), (2, 1), (3, 2), (4, 3)]
    # Signature, sign-off, status, its row of history, two services, document, certificate; document,
    # certificate; reopening, status, history, return, stage, defect, document, withdrawal; the sign-off again
    # without the services; document, withdrawal; document, certificate.
    assert all(found >= known for found, known in zip(writes, (8, 2, 8, 6, 2, 2), strict=True)), writes


@pytest.fixture(scope="module")
def stamps(tmp_path_factory) -> Iterator[StampServer]:
    with stamp_server(tmp_path_factory.mktemp("stamps")) as server:
        yield server


def again(document: Document, media: Path) -> None:
    """Put the paper back to where nobody has taken it, past the triggers that keep it as it is."""
    shutil.rmtree(media, ignore_errors=True)
    guards_take_off(connection)
    Document.objects.filter(pk=document.pk).update(
        file="", sha256="", claimed_at=None, attempts=0, done_at=None, last_error="", stamped_at=None,
        sealed_with=None,
    )  # fmt: skip
    guards_lay(connection, ROWS)


def look(document: Document, point: str, *, done: bool) -> bytes:
    """The row says nothing, or it names a file that is whole; returns the file's bytes."""
    document.refresh_from_db()
    assert (document.done_at is not None) == done, point
    if not done:
        assert (document.file.name, document.sha256, document.sealed_with) == ("", "", None), point
        return b""
    content = document_content(document=document)
    assert hashlib.sha256(content).hexdigest() == document.sha256, point
    return content


@pytest.mark.parametrize("points", [PAPER, FIRST_KEY], ids=["paper", "first key"])
def test_a_paper_killed_at_any_step_is_finished_by_the_pick_up_as_one_file(
    points, nursery, certificate, media, *, stamps, tmp_path
):
    document = certificate.document
    for point, where in points.items():
        again(document, media)
        if points is FIRST_KEY:
            (nursery.shop.folder / "seal_key.pem").unlink(missing_ok=True)
        told = {"url": stamps.url, "pk": document.pk}
        (ended,) = nursery.run(RENDER.format(point=killed_at(where), **told))
        assert ended.killed, (point, ended.said)
        look(document, point, done=point in RECORDED)
        nursery.run_one(BLANK + PICK_UP.format(**told))
        content = look(document, point, done=True)
        assert document.attempts == (1 if point == "about to claim" or point in RECORDED else 2), point
        if point != "recorded, about to clear away":
            kept = [one for one in media.rglob("*") if one.is_file()]
            assert [str(one.relative_to(media)) for one in kept] == [document.file.name], point
        assert "Signature is Valid" in pdfsig(content, tmp_path), point
        assert document.stamped_at is not None, point
        assert document.sealed_with.fingerprint, point
    assert numbers() == [1]


def test_the_whole_paper_is_made_by_the_pick_up_after_a_kill(nursery, media, certificate):
    document = certificate.document
    code = RENDER.format(url="", pk=document.pk, point=killed_at(PAPER["renamed"]))
    (ended,) = nursery.run(code)
    assert ended.killed, ended.said
    look(document, "renamed", done=False)
    nursery.run_one(PICK_UP.format(url=""))
    content = look(document, "renamed", done=True)
    (inside,) = pypdf.PdfReader(io.BytesIO(content)).attachments["certificate-record.json"]
    assert json.loads(inside)["certificate"]["serial"] == "FW-000001"
    assert [one.name for one in Path(document.file.path).parent.iterdir()] == [Path(document.file.name).name]


# Two at once


def together(nursery: Nursery, by: User, at: float, *names: str) -> list[str]:
    """Let processes do their acts at the same moment; return the code of each one's refusal, "" for none."""
    codes = []
    for name in names:
        told = "\n".join(f"    {line}" for line in act(name, by=by.pk, at=at).splitlines())
        codes.append(TRY.format(act=told))
    ended = nursery.run(*codes)
    assert [one.status for one in ended] == [0] * len(names), ended
    return [one.said for one in ended]


def test_two_who_sign_off_reissue_or_reopen_at_once_do_not_both(nursery, record, installer, inspector):
    assert sorted(together(nursery, inspector, 3, "sign off", "sign off")) == ["", "already_closed"]
    assert numbers() == [1]
    assert sorted(together(nursery, inspector, 4, "reopen", "reopen")) == ["", "job_not_closed"]
    assert (counting(), Job.objects.get().status) == (0, JobStatus.ON_SITE)
    put_right(record, installer, now=NOW.replace(day=5))
    assert sorted(together(nursery, inspector, 30, "sign off", "sign off")) == ["", "already_closed"]
    said = together(nursery, inspector, 31, "reissue", "reissue")
    # Whoever looks only after the other is done issues one in place of that one: both are in the chain.
    assert said in [["", ""], ["", "already_superseded"], ["already_superseded", ""]]
    assert numbers() == list(range(1, 2 + 1 + said.count("")))
    assert counting() == 1


def test_a_job_reopened_while_somebody_issues_again_has_no_certificate_that_counts(
    nursery, record, *, installer, inspector
):
    together(nursery, inspector, 3, "sign off")
    for turn in range(1, 5):
        said = together(nursery, inspector, turn * 100, *("reopen", "reissue")[:: 1 if turn % 2 else -1])
        assert set(said) <= {"", "job_reopened", "already_withdrawn"}, said
        assert Job.objects.get().status == JobStatus.ON_SITE
        assert counting() == 0
        assert numbers() == list(range(1, len(numbers()) + 1))
        put_right(record, installer, now=Job.objects.get().status_changes.last().at)
        assert together(nursery, inspector, turn * 100 + 50, "sign off") == [""]
        assert counting() == 1
    before = list(Certificate.objects.order_by("number").values_list("supersedes__number", flat=True))
    assert before == [None, *numbers()[:-1]]
