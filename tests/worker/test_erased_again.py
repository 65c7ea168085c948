"""A backup of before brings an erased customer back; putting it back erases them again."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings as shop_settings
from django.core.management import CommandError, call_command
from django.utils import timezone

from inspections.erasure_list import erasure_list_file
from inspections.services.erasing import customer_erase
from inspections.services.file_removals import files_remove, removals_left
from jobs.models import Customer, Document, DocumentKind, FileRemoval, Role
from tests.factories import CustomerFactory, JobFactory, UserFactory
from tests.worker.running import RunningShop


@pytest.fixture(autouse=True)
def _shops_own_folders(request, settings, tmp_path):
    """Let the commands work in the shop's folder."""
    settings.VAR_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "media"


def command(*arguments: str) -> str:
    """Run one of the commands in this process and return what it printed."""
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


@pytest.fixture
def customer(shop: RunningShop) -> Customer:
    """Somebody with a paper, and a neighbour."""
    UserFactory(role=Role.OWNER)
    CustomerFactory(name="Wren Neighbour")
    customer = CustomerFactory(name="Ada Ember", phone="555 0101")
    job = JobFactory(installation__site__customer=customer, status="cancelled")
    now = timezone.now()
    paper = Document.objects.create(
        job=job, kind=DocumentKind.WORK_PACK, title="Work pack", context={"name": "Ada Ember"},
        requested_at=now, due_at=now, done_at=now, sha256="0" * 64,
    )  # fmt: skip
    name = f"documents/{job.pk}/{paper.pk}-pack.pdf"
    Document.objects.filter(pk=paper.pk).update(file=name)
    path = shop.folder / "media" / name
    path.parent.mkdir(parents=True)
    path.write_bytes(b"%PDF of Ada Ember")
    (shop.folder / "secret_key").write_text("a secret")
    return Customer.objects.get(pk=customer.pk)


def erase(customer: Customer, *, and_remove: bool = True) -> None:
    owner = UserFactory._meta.model.objects.get(role=Role.OWNER)
    customer_erase(
        customer=customer, by=owner, reason="Asked for.", name=customer.name, override="They insist.",
        now=timezone.now(),
    )  # fmt: skip
    for pk in removals_left(now=timezone.now()) if and_remove else ():
        assert files_remove(pk=pk, now=timezone.now())


def papers_kept(shop: RunningShop) -> list[str]:
    return [path.name for path in (shop.folder / "media").rglob("*") if path.is_file()]


def test_a_backup_of_before_is_put_back_without_whom_was_erased_since(customer, shop, tmp_path_factory):
    archive = tmp_path_factory.mktemp("kept") / "before.tar"
    command("backup", str(archive))
    erase(customer)
    assert papers_kept(shop) == []
    assert "Erased again, because they had been erased after it was taken: 1." in command(
        "restore", str(archive), "--replace"
    )
    assert sorted(Customer.objects.values_list("name", flat=True)) == ["Erased customer", "Wren Neighbour"]
    assert papers_kept(shop) == []
    assert not FileRemoval.objects.filter(done_at=None).exists()
    assert Document.objects.get().context == {}
    # Once more changes nothing.
    assert command("erase_again") == "0 of 1 on the list of erasures were erased again.\n"


def test_on_a_new_machine_a_copy_of_the_list_does_it(customer, shop, tmp_path_factory):
    folder = tmp_path_factory.mktemp("kept")
    command("backup", str(folder / "before.tar"))
    erase(customer)
    copy = folder / "erasures.jsonl"
    erasure_list_file().rename(copy)
    command("restore", str(folder / "before.tar"), "--replace")
    assert Customer.objects.filter(name="Ada Ember").exists()
    assert command("erase_again", str(copy)) == "1 of 1 on the list of erasures were erased again.\n"
    assert not Customer.objects.filter(name="Ada Ember").exists()
    with pytest.raises(CommandError, match="no list of erasures"):
        command("erase_again", str(folder / "nowhere.jsonl"))


def test_a_later_backup_brings_its_list_along(customer, shop, tmp_path_factory):
    archive = tmp_path_factory.mktemp("kept") / "after.tar"
    erase(customer)
    told = erasure_list_file().read_text()
    command("backup", str(archive))
    erasure_list_file().unlink()
    command("restore", str(archive), "--replace")
    assert json.loads(erasure_list_file().read_text()) == json.loads(told)


def test_somebody_else_with_the_same_key_is_left_alone(customer, shop):
    line = {"customer": customer.pk, "erased_at": timezone.now().isoformat()}
    other = customer.created_at + timedelta(microseconds=1)
    erasure_list_file().write_text(json.dumps({**line, "entered_at": other.isoformat()}) + "\n")
    command("erase_again")
    assert Customer.objects.filter(name="Ada Ember").exists()


def test_sqlite_overwrites_what_is_erased(tmp_path: Path):
    """Read back from the bytes of a file written as the shop's: SQLite leaves old words in it otherwise."""

    def left(commands: str) -> bool:
        path = tmp_path / f"{len(commands)}.sqlite3"
        with closing(sqlite3.connect(path, isolation_level=None)) as database:
            database.executescript(commands)
            database.execute("CREATE TABLE t (words TEXT)")
            database.executemany("INSERT INTO t VALUES (?)", [("Ada Ember " * 40,)] * 50)
            database.execute("UPDATE t SET words = ''")
            database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        return b"Ada Ember" in path.read_bytes()

    ours = shop_settings.SQLITE_OPTIONS["init_command"]
    assert not left(ours)
    assert left(ours.replace("secure_delete=ON", "secure_delete=OFF"))
