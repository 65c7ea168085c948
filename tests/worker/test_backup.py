"""Backups are taken while the shop works, and what comes back is what was there."""

from __future__ import annotations

import io
import json
import subprocess
import tarfile
import threading
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from jobs.models import Customer, Document, DocumentKind, Heartbeat
from tests.factories import CustomerFactory, JobFactory
from tests.worker.running import RunningShop

PAPER = b"%PDF-1.7 a paper"


def command(*arguments: str) -> str:
    """Run one of the commands in this process and return what it printed."""
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def refused(*arguments: str) -> str:
    """The sentence with which a command refuses."""
    with pytest.raises(CommandError) as refusal:
        command(*arguments)
    return str(refusal.value)


@pytest.fixture(autouse=True)
def _shops_own_folders(request, settings, tmp_path):
    """Let the commands work in the shop's folder."""
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "media"


@pytest.fixture
def filled(shop: RunningShop) -> RunningShop:
    """A shop with a customer, a paper and its secret."""
    CustomerFactory(name="Ada Ember")
    now = timezone.now()
    Document.objects.create(
        job=JobFactory(), kind=DocumentKind.WORK_PACK, title="Work pack", context={},
        requested_at=now, due_at=now, done_at=now, file="documents/1/pack.pdf", sha256="0" * 64,
    )  # fmt: skip
    paper = shop.folder / "media" / "documents" / "1" / "pack.pdf"
    paper.parent.mkdir(parents=True)
    paper.write_bytes(PAPER)
    (shop.folder / "secret_key").write_text("the first secret")
    return shop


@pytest.fixture
def archive(filled: RunningShop, tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("kept") / "shop.tar"
    command("backup", str(path))
    return path


def change_everything(shop: RunningShop) -> None:
    Customer.objects.all().update(name="Somebody else")
    (shop.folder / "media" / "documents" / "1" / "pack.pdf").write_bytes(b"other")
    (shop.folder / "secret_key").write_text("another secret")


def test_everything_comes_back_and_what_was_there_is_set_aside(filled, archive):
    for round_ in range(2):
        change_everything(filled)
        printed = command("restore", str(archive), "--replace")
        assert Customer.objects.get(name="Ada Ember")
        assert not Customer.objects.filter(name="Somebody else").exists()
        assert (filled.folder / "media" / "documents" / "1" / "pack.pdf").read_bytes() == PAPER
        assert (filled.folder / "secret_key").read_text() == "the first secret"
        [aside] = filled.folder.glob("before-restore-*")
        assert str(aside) in printed
        assert (aside / "media" / "documents" / "1" / "pack.pdf").read_bytes() == b"other"
        assert (aside / "secret_key").read_text() == "another secret"
        assert any(aside.glob("*.sqlite3")) or any(aside.glob("*.dump"))
        aside.rename(filled.folder.parent / f"seen-{aside.name}-{round_}")
        assert list(filled.folder.glob(".restore-*")) == []


def test_the_two_scripts_bring_a_shop_to_a_new_machine(filled, tmp_path):
    connection.close()
    script(filled, "backup", "kept.tar")
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE")
            cursor.execute("CREATE SCHEMA public")
    fresh = RunningShop(tmp_path / "new", filled.database_url, filled.redis_url)
    script(fresh, "restore", "../kept.tar")
    assert (fresh.folder / "media" / "documents" / "1" / "pack.pdf").read_bytes() == PAPER
    assert (fresh.folder / "secret_key").read_text() == "the first secret"
    with fresh.visited():
        assert Customer.objects.filter(name="Ada Ember").exists()
    assert list(fresh.folder.glob("before-restore-*")) == []


def script(shop: RunningShop, name: str, archive: str) -> None:
    """Run a script from the shop's folder, with an archive named from there."""
    path = settings.BASE_DIR / "bin" / name
    done = subprocess.run(
        [path, archive], env=shop.environment, cwd=shop.folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_it_does_not_take_a_shops_place_without_being_told(filled, archive):
    change_everything(filled)
    assert "--replace" in refused("restore", str(archive))
    assert Customer.objects.filter(name="Somebody else").exists()


def test_it_does_not_restore_while_a_worker_works(filled, archive):
    Heartbeat.objects.create(name="worker", seen_at=timezone.now())
    assert "Stop the shop" in refused("restore", str(archive), "--replace")
    Heartbeat.objects.update(seen_at=timezone.now() - timedelta(minutes=3))
    command("restore", str(archive), "--replace")


def test_a_backup_taken_while_somebody_writes_is_consistent(filled, tmp_path_factory):
    stop = threading.Event()

    def write() -> None:
        with filled.visited():
            while not stop.is_set():
                customer = CustomerFactory(name="Half")
                Customer.objects.filter(pk=customer.pk).update(name="Whole")

    path = tmp_path_factory.mktemp("kept") / "busy.tar"
    writer = threading.Thread(target=write)
    writer.start()
    try:
        command("backup", str(path))
    finally:
        stop.set()
        writer.join(30)
    command("restore", str(path), "--replace")
    assert Customer.objects.filter(name="Ada Ember").exists()


def rewritten(archive: Path, change) -> Path:
    """A copy of an archive with its members changed."""
    copy = archive.with_name("changed.tar")
    with tarfile.open(archive) as old, tarfile.open(copy, "w") as new:
        for member in old:
            source = old.extractfile(member)
            assert source is not None
            change(new, member, source.read())
    return copy


def put(tar: tarfile.TarFile, member: tarfile.TarInfo, content: bytes) -> None:
    member.size = len(content)
    tar.addfile(member, io.BytesIO(content))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            lambda tar, m, content: put(tar, m, content.replace(PAPER, b"x" * len(PAPER))),
            "media/documents/1/pack.pdf",
        ),
        (lambda tar, m, content: m.name != "manifest.json" and put(tar, m, content), "manifest is missing"),
        (lambda tar, m, content: m.name != "secret_key" and put(tar, m, content), "secret_key"),
        (
            lambda tar, m, content: put(
                tar,
                m,
                content.replace(b'"format": 1', b'"format": 9') if m.name == "manifest.json" else content,
            ),
            "another version",
        ),
        (
            lambda tar, m, content: put(
                tar,
                m,
                content.replace(b'"jobs.0001_initial"', b'"jobs.0999_later"')
                if m.name == "manifest.json"
                else content,
            ),
            "newer version (jobs.0999_later)",
        ),
    ],
)
def test_an_archive_that_was_changed_is_refused_and_nothing_is_touched(change, words, filled, archive):
    change_everything(filled)
    assert words in refused("restore", str(rewritten(archive, change)), "--replace")
    assert Customer.objects.filter(name="Somebody else").exists()
    assert (filled.folder / "secret_key").read_text() == "another secret"


def test_an_archive_that_leads_out_of_the_folder_is_refused(filled, archive):
    def lead_out(tar, member, content):
        member.name = member.name.replace("media/", "media/../../")
        put(tar, member, content)

    assert "Nothing was done" in refused("restore", str(rewritten(archive, lead_out)), "--replace")


def test_an_archive_cut_short_is_refused(filled, archive):
    content = archive.read_bytes()
    archive.write_bytes(content[: len(content) // 2])
    assert "damaged" in refused("restore", str(archive), "--replace")


def test_what_is_no_archive_is_refused(filled, tmp_path):
    (tmp_path / "holiday.jpg").write_bytes(b"no archive" * 200)
    assert "no archive" in refused("restore", str(tmp_path / "holiday.jpg"), "--replace")
    assert "There is no file" in refused("restore", str(tmp_path / "nothing.tar"), "--replace")


def test_a_backup_of_another_kind_of_database_is_refused(filled, archive):
    vendor = connection.vendor.encode()
    other = b"postgresql" if vendor == b"sqlite" else b"sqlite"

    def relabel(tar, member, content):
        if member.name == "manifest.json":
            content = content.replace(b'"vendor": "%s"' % vendor, b'"vendor": "%s"' % other)
        put(tar, member, content)

    assert "DATABASE_URL" in refused("restore", str(rewritten(archive, relabel)), "--replace")


def test_a_backup_writes_over_nothing_and_is_its_owners_alone(filled, archive):
    assert archive.stat().st_mode & 0o777 == 0o600
    assert "there already" in refused("backup", str(archive))
    assert "cannot be written" in refused("backup", str(archive.parent / "none" / "shop.tar"))
    assert [path.name for path in archive.parent.iterdir()] == ["shop.tar"]


def test_a_backup_says_which_files_are_gone(filled, tmp_path_factory):
    (filled.folder / "media" / "documents" / "1" / "pack.pdf").unlink()
    path = tmp_path_factory.mktemp("kept") / "shop.tar"
    assert "documents/1/pack.pdf" in refused("backup", str(path))
    with tarfile.open(path) as tar:
        member = tar.extractfile("manifest.json")
        assert member is not None
        assert set(json.load(member)["files"]) >= {"secret_key"}


def test_there_is_nothing_to_back_up_before_the_shop_is_there(tmp_path, django_db_blocker):
    empty = RunningShop(tmp_path / "none", "", "")
    with django_db_blocker.unblock(), empty.visited():
        assert "no shop" in refused("backup", str(tmp_path / "shop.tar"))
