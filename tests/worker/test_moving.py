"""A shop that began on files moves to PostgreSQL and Redis by the commands the README gives."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from jobs.models import Customer, Job, User
from tests.factories import CustomerFactory, JobFactory, SurveyFactory, TechnicianFactory, VisitFactory
from tests.worker.running import RunningShop

GIVEN = ["--natural-foreign", "-e", "contenttypes", "-e", "auth.permission", "-e", "sessions"]


def rows(path: Path) -> list[Any]:
    call_command("dumpdata", *GIVEN, "-o", str(path), verbosity=0)
    return sorted(json.loads(path.read_text()), key=lambda row: (row["model"], str(row.get("pk"))))


@pytest.fixture
def shops(files_shop, servers_shop, django_db_blocker):
    with django_db_blocker.unblock():
        yield files_shop, servers_shop


def test_every_row_arrives_and_the_next_one_gets_a_number_of_its_own(shops: tuple[RunningShop, RunningShop]):
    on_files, on_servers = shops
    path = on_files.folder / "shop.json"
    with on_files.visited():
        survey = SurveyFactory()
        job = JobFactory(installation=survey.installation)
        VisitFactory(job=job, crew=TechnicianFactory().crew)
        before = rows(path)
    with on_servers.visited():
        call_command("loaddata", str(path), verbosity=0)
        assert rows(on_files.folder / "after.json") == before
        assert Job.objects.get().installation == survey.installation
        assert User.objects.count() == 2
        assert CustomerFactory().pk not in {survey.installation.site.customer_id}
        assert Customer.objects.count() == 2


def test_the_commands_are_those_of_the_readme(settings):
    readme = (settings.BASE_DIR / "README.md").read_text()
    assert f"dumpdata {' '.join(GIVEN)} -o" in readme
    assert "manage.py loaddata" in readme
