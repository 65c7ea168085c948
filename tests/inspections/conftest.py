"""A job at the house, and what the tests of site work share."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from inspections.models import SiteRecord, StageRecord
from inspections.services.answers import answer_record
from inspections.services.records import record_begin
from jobs.models import Job
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin, work_through
from tests.inspections.sending import Tablet
from tests.jobs.five import forbids, hides, needs_login, refuses_method


@pytest.fixture
def job(office, technician) -> Job:
    """A planned installation the installer's crew is sent to."""
    return job_ready_to_begin(office=office, crew=technician.crew)


@pytest.fixture
def record(job, installer) -> SiteRecord:
    """Site work just begun."""
    return record_begin(job=job, by=installer, now=NOW)


@pytest.fixture
def stage(record) -> Callable[[str], StageRecord]:
    """Return a function that gives a stage of the record."""
    return lambda key: record.stages.get(key=key)


@pytest.fixture
def answer(stage, installer):
    """Return a function that answers an item as the installer."""

    def give(key: str, item: str, text: str, **told):
        return answer_record(
            **{"stage": stage(key), "item": item, "raw_text": text, "by": installer, "now": NOW, **told}
        )

    return give


@pytest.fixture
def tablet(job, installer) -> Tablet:
    """The installer's tablet, before the work has begun."""
    return Tablet(job, installer)


@pytest.fixture
def on_site(record, tablet) -> Tablet:
    """The installer's tablet, site work under way."""
    return tablet


@pytest.fixture
def all_signed(tablet) -> Tablet:
    """The installer's tablet, every stage signed."""
    work_through(job=tablet.job, by=tablet.by)
    return tablet


@pytest.fixture
def turns_away(as_user, stranger, office, inspector, installer) -> Callable[..., None]:
    """Return a function that checks who is turned away from a page, and how."""
    people = {"office": office, "inspector": inspector}

    def check(path: str, *, method: str, forbidden: str = "") -> None:
        needs_login(path)
        hides(as_user(stranger), path, method)
        for role in forbidden.split():
            forbids(as_user(people[role]), path, method)
        refuses_method(as_user(installer), path, {"get": "post", "post": "get"}[method])

    return check
