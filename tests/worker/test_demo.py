"""The invented shop: whole, told from today, and served by one command that leaves nothing running."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.test import Client, override_settings
from django.utils import timezone

from config.demo.days import day_done, working_day
from config.demo.fixture import fixture
from config.demo.people import logins
from inspections.models import Certificate, Defect, DoNotUseNotice, SiteRecord, Waiver
from jobs.models import (
    BookingRequest,
    Credential,
    Customer,
    Document,
    Job,
    JobKind,
    JobStatus,
    Plan,
    Reminder,
    ReminderOutcome,
    Role,
    ServiceSchedule,
    Site,
    User,
    Visit,
)
from tests.factories import InstallationFactory, UserFactory
from tests.servers import free_port
from tests.worker.conftest import FILES, GROUNDS, servers_shop_make
from tests.worker.running import PATIENCE, RunningShop, wait_until

#: The hasher of a real shop; the other tests use a quick one.
HASHER = "django.contrib.auth.hashers.PBKDF2PasswordHasher"


def load() -> str:
    out = StringIO()
    call_command("load_demo", stdout=out)
    return out.getvalue()


@pytest.fixture(scope="module")
def filled(request, tmp_path_factory, django_db_blocker) -> RunningShop:
    """The invented shop, filled once for the tests that look at it."""
    folder = tmp_path_factory.mktemp("invented")
    if FILES in GROUNDS:
        shutil.copy(request.getfixturevalue("migrated_file"), folder)
        shop = RunningShop(folder, "", "")
    else:
        shop = servers_shop_make(request, folder)
    kept = {"MEDIA_ROOT": folder / "media", "PASSWORD_HASHERS": [HASHER]}
    with django_db_blocker.unblock(), shop.visited(), override_settings(**kept):
        load()
    return shop


@pytest.fixture
def invented(filled, django_db_blocker) -> Iterator[RunningShop]:
    with django_db_blocker.unblock(), filled.visited():
        yield filled


def test_the_invented_shop_has_work_in_every_state_and_is_filled_once(invented):
    today = timezone.now().date()
    assert set(Job.objects.values_list("status", flat=True)) == set(JobStatus.values)
    assert set(Site.objects.values_list("country", flat=True)) == {"US", "CA", "GB"}
    assert set(User.objects.values_list("role", flat=True)) == set(Role.values)

    closed = Job.objects.filter(status=JobStatus.CLOSED)
    assert Certificate.objects.count() == closed.count() >= 4
    assert sorted(Certificate.objects.values_list("number", flat=True)) == list(range(1, closed.count() + 1))
    assert Document.objects.filter(done_at=None).count() == Document.objects.count() > closed.count()

    half = SiteRecord.objects.get(job__status=JobStatus.ON_SITE, job__kind=JobKind.NEW_INSTALLATION)
    signed = half.stages.exclude(signed_at=None).count()
    assert 0 < signed < half.stages.count()
    assert Defect.objects.filter(stage__record=half, closed_at=None).count() == 1
    ready = SiteRecord.objects.get(job__status=JobStatus.READY)
    assert not ready.stages.filter(signed_at=None).exists()
    assert Waiver.objects.exists()

    repair = SiteRecord.objects.get(job__kind=JobKind.REPAIR, job__status=JobStatus.CLOSED)
    assert all(one.carried_from.closed_at for one in Defect.objects.filter(stage__record=repair))
    notices = DoNotUseNotice.objects.filter(lifted_at=None)
    assert {one.wants_telling for one in notices} == {True, False}
    assert Job.objects.filter(kind=JobKind.REPAIR, status=JobStatus.SCHEDULED).exists()

    due = ServiceSchedule.objects.filter(ended_on=None)
    assert any(service.is_overdue(today) for service in due)
    assert any(0 <= (service.next_due_on - today).days <= 30 for service in due)
    assert Reminder.objects.filter(outcome=ReminderOutcome.MAILED).exists()
    assert BookingRequest.objects.filter(handled_at=None).count() == 1
    assert Visit.objects.filter(starts_at__gt=timezone.now(), cancelled_at=None).exists()
    assert any(0 < (one.expires_on - today).days < 31 for one in Credential.objects.exclude(expires_on=None))

    before = Job.objects.count(), Customer.objects.count()
    assert load() == ""
    assert (Job.objects.count(), Customer.objects.count()) == before


def test_every_plan_that_was_worked_by_holds_and_knows_everything(invented):
    for plan in Plan.objects.filter(
        jobs__status__in=[JobStatus.SCHEDULED, JobStatus.READY, JobStatus.CLOSED]
    ):
        standing = [
            one["sentence"]
            for one in plan.data["findings"]
            if one["outcome"] != "pass" and not one.get("answered_by")
        ]
        assert (plan.data["unknowns"], standing) == ([], []), str(plan)


def test_every_plan_and_certificate_of_it_comes_out_as_stored(invented):
    out = StringIO()
    call_command("recompute_plan", "--all", stdout=out)
    assert out.getvalue().count("come out as stored") == Plan.objects.count() > 4
    serials = [one.serial for one in Certificate.objects.exclude(sign_off__record__plan=None)]
    assert serials
    call_command("recompute_plan", *serials, stdout=out)


def test_the_logins_it_prints_let_everybody_in(invented, settings):
    settings.PASSWORD_HASHERS = [HASHER]
    password = fixture("people")["password"]
    assert password in logins()
    for user in User.objects.all():
        assert re.search(rf"{user.email} +{user.role}", logins())
        answer = Client().post("/account/login/", {"login": user.email, "password": password})
        assert (answer.status_code, answer.headers.get("Location")) == (302, "/")


@pytest.mark.django_db
def test_it_does_not_fill_somebodys_own_shop():
    UserFactory()
    with pytest.raises(CommandError, match="already holds somebody's shop"):
        load()
    assert Customer.objects.count() == 0


def test_working_days_leave_weekends_out():
    friday = date(2026, 5, 1)
    assert working_day(friday, 1) == date(2026, 5, 4)
    assert working_day(date(2026, 5, 4), -1) == friday
    assert working_day(date(2026, 5, 2), 0) == date(2026, 5, 2)


@pytest.mark.django_db
@pytest.mark.parametrize("month", range(1, 13))
def test_a_day_is_found_in_every_month_for_a_service_that_falls_due(month):
    installation = InstallationFactory()
    today = date(2026, month, 15)
    done = day_done(installation, today, -20)
    assert done < today
    assert done.weekday() < 5
    assert day_done(installation, today, -20, later=3) >= done


@pytest.mark.django_db
def test_the_shop_can_be_filled_late_on_a_sunday_in_summer(monkeypatch):
    now = datetime(2028, 7, 2, 23, 30, tzinfo=UTC)
    monkeypatch.setattr("config.management.commands.load_demo.timezone.now", lambda: now)
    load()
    assert set(Job.objects.values_list("status", flat=True)) == set(JobStatus.values)


class Demo:
    """The demo as one process, in a folder of its own."""

    def __init__(self, folder: Path, database_url: str = "", redis_url: str = "") -> None:
        self.folder = folder
        self.urls = {"DATABASE_URL": database_url, "REDIS_URL": redis_url}
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[str] | None = None

    def start(self, *arguments: str) -> subprocess.Popen[str]:
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "demo", "--bind", f"127.0.0.1:{self.port}", *arguments],
            cwd=settings.BASE_DIR,
            env={
                "PATH": "/usr/bin:/bin",
                "FLUEWRIGHT_VAR": str(self.folder),
                "SITE_URL": self.url,
                "PYTHONUNBUFFERED": "1",
                **self.urls,
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        return self.process

    def refusal(self, *arguments: str) -> str:
        out, err = self.start(*arguments).communicate(timeout=PATIENCE)
        assert out == ""
        assert "Traceback" not in err
        return err


def processes_with(text: str) -> list[str]:
    """The living processes that have a text in their environment."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                environment = (entry / "environ").read_bytes().decode(errors="replace")
            except (FileNotFoundError, PermissionError, ProcessLookupError):
                continue
            if text in environment:
                found.append(entry.name)
    return found


@pytest.mark.worker
def test_the_demo_answers_works_and_leaves_nothing_running(request, tmp_path):
    demo = Demo(tmp_path / "var")
    if FILES not in GROUNDS:
        shop = servers_shop_make(request, tmp_path)
        demo = Demo(shop.folder / "var", shop.database_url, shop.redis_url)
    process = demo.start()
    try:
        assert process.stdout is not None
        printed = ""
        while "Ctrl-C stops" not in printed:
            line = process.stdout.readline()
            assert line, process.stderr.read() if process.stderr else ""
            printed += line
        assert demo.url in printed
        assert logins() in printed
        with urllib.request.urlopen(f"{demo.url}/account/login/", timeout=20) as page:
            assert page.status == 200
            assert "script-src 'self'" in page.headers["Content-Security-Policy"]
        assert "cannot be used" in Demo.refusal(_beside(demo))
        wait_until(
            lambda: list((demo.folder / "media" / "documents").rglob("*.pdf")), what="a rendered paper"
        )
        wait_until(lambda: list((demo.folder / "mail").glob("*.eml")), what="a mail in the folder")
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=PATIENCE)
        assert "Stopped." in out
        assert err == ""
        assert process.returncode == 0
        assert processes_with(str(demo.folder)) == []
        for name in ("web", "worker", "scheduler"):
            assert "Traceback" not in (demo.folder / "log" / f"{name}.log").read_text()
    finally:
        process.kill()
        process.communicate()


def _beside(demo: Demo) -> Demo:
    """A second demo on the same port."""
    other = Demo(demo.folder.with_name("other"))
    other.port, other.url = demo.port, demo.url
    return other


def test_a_fresh_beginning_throws_nothing_of_others_away(tmp_path):
    (tmp_path / "letter.txt").write_text("mine")
    assert "was not made by bin/demo" in Demo(tmp_path).refusal("--fresh")
    assert (tmp_path / "letter.txt").read_text() == "mine"


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    assert f"{tmp_path}/file/var cannot be made" in Demo(tmp_path / "file" / "var").refusal()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--port", "many"], "is no port"),
        (["--port"], "After --port comes a number"),
        (["--speed"], "does not know --speed"),
    ],
)
def test_the_script_says_what_it_does_not_understand(arguments, words):
    done = subprocess.run(
        [settings.BASE_DIR / "bin" / "demo", *arguments], capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert words in done.stderr
    assert done.stdout == ""
